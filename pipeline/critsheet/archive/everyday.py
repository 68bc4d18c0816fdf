"""Which parts of people's names are everyday English words as well: Mark, Will, Rose, Marsh."""

from functools import lru_cache

from critsheet.speech.sounds import frequency

_COMMON = 5.5
"""Zipf frequency (see speech/sounds.py): above it lie words of every sentence ("may", "long"), no name."""
_BOTH = frozenset(
    """
    abbey amber angel arch archer arrow art ash aspen autumn axel baker ball banks barber basil bass bay bean bear
    beck bell bill bird bishop black blaze blossom blue bob bolt bond bow branch brand bridge brook brooks brown
    bush butler cam camp candy carol carpenter carter cash chance chase cherry chin chip christian church clay
    clear cliff close clover cole colt cook cooper coral cross crow curl curry cutter daisy dale dash dawn day
    dean destiny dial dick dock dove drake draw drew drum duke dusk dutch earl early east easy ebony eden ember
    faith farmer felt fern field finch fish fisher flint flower fly foot ford forest fort foster fox frank freed
    frost gale gardener gene gill ginger glass glen glory gold good grace grand grant grass gray green grey grove
    guy hall hand hardy hare harmony harp hart hatch hawk hay hazel head heart heath heather hicks high hill hip
    hips hobby holly honey hood hook hope horn house hunt hunter iris ivory ivy jack jade jasmine jasper jay jet
    joy judge june justice keen key king kite knight lake lamb lance land lane lark law lea leaf lily link little
    lock long love low lucky major maple mark marsh mason mat may meadow mercy merry miles mill miller mills mint
    moon moor moss nail nash neck nick noble norm north nova oak ocean olive opal pace page park parks pat
    patience pause peace pearl peg penny pepper petal pierce piper pole pool poppy porter post potter price prince
    queen quick rain rains rake ray read red reed rice rich ridge rising river rivers rob robin rock rod root rose
    rowan ruby rush rusty sage sand sandy savage scout shade sharp shepherd shield shore short silver singer skip
    sky slater small smart snow song south spark speed spring stack star stark steel stern stew stone storm
    strange street strong sue summer sun swan sweet swift tailor taylor temper tie timber trace trip trout turner
    vale van vault victor violet virtue wade walker wall walls ward waters way weaver webb weeks wells west wheel
    wheeler white wild wilder will wills winter wise wolf wood woods worth wren wright young
    """.split()
)
"""Given names and surnames that a mentor may say as words. Any other word counts as a name: rather one word too many is
taken for somebody than a person is named."""


@lru_cache(maxsize=4096)
def is_everyday(word: str) -> bool:
    """Whether a lower-case word may be meant as a word."""
    return word in _BOTH or frequency(word) >= _COMMON
