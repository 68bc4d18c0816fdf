"""Turns what a mentor suggests into what a student does: "I would keep those closed" gives "keep those closed".

Only the wrapping is taken off; the words that remain are the mentor's own.
"""

import re

_OPENERS = re.compile(
    r"^(?:(?:so|and|but|then|now|okay|ok|right|yeah|yes|well|oh|ah|look|listen|hmm|ooh|um|because|cause|cos|also|honestly|again|"
    r"ideally|basically|actually|anyway|plus|see|like|um|uh|hey|no|there|here|first off|first of all|for me|to me|"
    r"in fact|of course|at least|for now|if anything|if you can|if you like|personally|really|the thing is|"
    r"what i'd do is|what i would do is|all i'd do is|the only thing is|or|the other thing is|one more thing|"
    r"next thing|last thing|second thing|first thing|tiny thing|small thing|little thing|big one|big thing)"
    r"\b(?!')[\s,:;.—-]*)+",
    re.IGNORECASE,
)
_SOFTENERS = (
    r"(?:(?:just|maybe|probably|perhaps|actually|really|almost|even|also|definitely|simply|honestly|then|still)\s+)*"
)
_WOULD = r"(?:i'd|i would|i might|i'll|you'd|you would|we'd|we would)"
_COULD = (
    r"(?:you|we|she|he)\s+(?:could|can|might|should|must|need to|needs to|want to|wanna|have to|have got to|'ve got to|"
    r"gotta|got to|ought to|might want to|might wanna|may want to|could try to|can just|just need to|just want to)"
)
_YOU = (
    r"(?:you could|you can|you might|you should|you must|you need to|you want to|you wanna|you have to|you've got to|"
    r"you gotta|you got to|you ought to|you might want to|you might wanna|you'll want to|you'd want to|you'll need to|"
    r"we could|we can|we should|we need to|we want to|we have to|we've got to|we gotta|can you|could you|can we|"
    r"could we|"
    r"would you|will you|why don't you|why not|why don't we|what if you|what if we|how about you|let's|lets|let us|"
    r"try and|"
    r"see if you can|see if we can|remember to|don't forget to|feel free to|be sure to|you're gonna want to|"
    r"you're going to want to|i want you to|i need you to|i'd like you to|i'd love you to|i'd want you to|"
    r"i'd encourage you to|i'd ask you to|the idea is to|it's worth|you just need to|you just want to|you just have to)"
)
_WANT = (
    r"(?:i want|i need|i'd like|i'd love|i'd want|i'd really like|i'd really love|i really want|i wanna|we want|"
    r"we need|you want|you need)"
)
_WHO = (
    r"(?P<who>he|she|it|they|this|that|these|those|everything|everybody|both|"
    r"(?:the|his|her|their|its|your|that|this|these|those|both|each|every|all)(?:\s+(?!(?:is|was|that|i|you)\b)[\w'-]+){1,4}?|"
    r"[A-Z][\w-]+(?:'s(?:\s+[\w-]+){1,2}?)?)"
)
_AS_OBJECT = {"he": "him", "she": "her", "they": "them"}
_NEEDS = r"(?:needs|need|wants|want|has got|has|have|ought|gotta|got|'s got|'s gotta)"

_NOT_ACTIONS = frozenset(
    "say think be have been call know believe guess bet imagine swear rather buy see like love want hope suppose go as "
    "argue forgive never not agree".split()
)
"""After "I would", these words say something of the mentor, not of the work."""

_NOT_DONE = frozenset("see tell feel hear know imagine say be notice".split())
"""After "you can", these words describe ("you can see it here"), they ask for nothing."""

_ARTICLES = frozenset("the his her their its your that this these those both each every all it".split())

VERBS = frozenset(
    """
    accelerate accent act add adjust aim align allow anchor animate antic anticipate arc arrange attach avoid
    bake balance bend bite blend block blow bounce brace break breathe brighten bring build bump bunch bung burn
    calm carry catch change cheat check choose chop chuck clean clear close cock coil combine come commit
    compare connect constrain contrast convert cool copy correct count counter crook crop cross cull curl curve
    cushion cut dampen darken delay delete dig dip disconnect ditch do don't dot double drag draw drift drive
    drop duplicate ease edit emphasise emphasize ensure erase establish even exaggerate expand explore extend
    fade fan favor favour feel figure film find finish fix flatten flick fling flip float flop focus follow
    force frame free freeze get give go grab group grow halve hang have heave hide hinge hit hitch hold hook
    hunt increase introduce invert isolate jam jitter keep key kick kill lag land lead lean leave lengthen let
    level lift lighten limit line link load lob lock look loosen lose lower make mark match measure merge mess
    mind mirror mix move mute nail narrow nest never nudge offset open overlap overshoot own pace pare park part
    paste pause peel pick pin pinch pivot place plan plant play plot plus point polish pop pose practice
    practise preserve press prioritise prioritize protect pull push put raise reach record redo redraw reduce
    reference refine relax release remove render reorder repeat replace repose rescale reset reshoot resize
    respect retime reverse rework rewrite rip rock roll rotate rough round run sag save scale scooch scoot scrap
    scrub scrunch separate set settle shake shape sharpen shave shift shoot shorten shove show shrink simplify
    sink sit skew skip slam slide slip slow smear smooth snap soften sort space speed spend spin splay splice
    spline split spot spread squash squeeze squint squish stagger stand start stay steal stick stiffen stop
    straighten strengthen stretch strip study stuff swap sweep swing switch take tap taper tell test thicken
    thin throw thumbnail tie tighten tilt time tip tone touch trace track trail transfer trim trust try tuck
    turn tweak twist unlock use vary wait walk warp watch weight whack widen wind wipe work wrap write yank zoom
    """.split()
)
"""Verbs that open a command in critiques. Whole clauses that start with one are taken as said."""

_ADVERBS = (
    r"(?:just|maybe|perhaps|please|really|then|also|always|definitely|simply|honestly|quickly|slowly|gently|slightly)"
)


_TURNS = re.compile(
    r"(?<=\s)(?:so|but|and then|and|then|maybe|please|just|or|i'd|i would|you'd|you could|you can|you need|you want|"
    r"you should|you've got|you gotta|we need|let's|make sure|i want|i need|i wanna|it wants|it needs|"
    r"it should|don't|try)\s",
    re.IGNORECASE,
)
"""Words at which speech turns from what is wrong to what to do."""


def without_openers(clause: str) -> str:
    """The clause without "so", "and then", "okay" and the like before it."""
    return _OPENERS.sub("", clause).strip(" ,;:-—")


def imperative(clause: str) -> str | None:
    """The clause as a command in the mentor's own words, or None where it suggests nothing.

    Fillers and repeats are taken to be gone already.
    """
    text = without_openers(clause.replace("’", "'"))
    text = re.sub(rf"^{_ADVERBS}\s*,?\s+(?=\S)", "", text, flags=re.IGNORECASE)
    for shape in (_asked_of_you, _wished, _would, _needed, _commanded):
        made = shape(text)
        if made:
            return made.strip(" ,;:-—")
    return None


def suggestion_in(clause: str) -> tuple[str, str] | None:
    """The first suggestion in a clause, also where it starts half-way, with the words before it; None where none is.

    Without punctuation a clause often holds the fault and then, after "so" or "I would", the remedy.
    """
    text = clause.replace("’", "'")
    starts = [0, *(match.start() for match in _TURNS.finditer(text))]
    for start in dict.fromkeys(starts):
        if made := imperative(text[start:]):
            return text[:start].strip(" ,;:-—"), made
    return None


def _asked_of_you(text: str) -> str | None:
    match = re.match(rf"^(?:maybe |perhaps |so )?{_YOU}\s+{_SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    return None if _first(rest) in _NOT_DONE else rest


def _wished(text: str) -> str | None:
    """ "I want her to look", "I'd love to see more of it", "I want a fight"."""
    match = re.match(rf"^{_SOFTENERS}{_WANT}\s+{_SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    if shown := re.match(r"^(?:to )?(?:be able to )?(?:see|feel|hear|get|read|know|have)\s+(.*)$", rest, re.IGNORECASE):
        return f"show {shown[1]}"
    if done := re.match(r"^to\s+(.*)$", rest, re.IGNORECASE):
        return done[1]
    who = re.match(r"^(?P<who>(?:[\w'-]+\s+){1,4}?)to (?P<be>be )?(?P<rest>.*)$", rest, re.IGNORECASE)
    if who:
        return f"{'make' if who['be'] else 'have'} {who['who'].strip()} {who['rest']}"
    return None if _first(rest) in {"you", "that", "it"} else f"show {rest}"


def _would(text: str) -> str | None:
    match = re.match(rf"^{_SOFTENERS}{_WOULD}\s+{_SOFTENERS}(?P<rest>\S.*)$", text, re.IGNORECASE)
    if not match:
        return None
    rest = match["rest"]
    first = _first(rest)
    if first == "say":
        return imperative(re.sub(r"^say,?\s+", "", rest, flags=re.IGNORECASE))
    if first == "have":
        return (
            None if re.match(r"^have (?:been|thought|gone|liked|loved|said|done|had)\b", rest, re.IGNORECASE) else rest
        )
    if first in {"go", "be"}:
        return rest if re.match(r"^(?:go|be) (?:for|a|back|with|through|much|more|careful)\b", rest) else None
    return None if first in _NOT_ACTIONS else rest


def _needed(text: str) -> str | None:
    """ "The hips need to lead" gives "have the hips lead"; "it should be slower", "make it slower"."""
    match = re.match(
        rf"^{_WHO}\s*{_SOFTENERS}(?:{_NEEDS} to|gotta|'s gotta|should|must|ought to|could)\s+{_SOFTENERS}"
        rf"(?P<be>be\s+)?(?P<rest>\S.*)$",
        text,
        re.IGNORECASE,
    )
    if match:
        who, rest = _object(match["who"]), match["rest"]
        if rest.lower().startswith(("have been", "be able", "not ")):
            return None
        return f"make {who} {rest}" if match["be"] else f"have {who} {rest}"
    given = re.match(rf"^{_WHO}\s*{_SOFTENERS}(?:needs|wants|need)\s+(?P<rest>(?!to\b)\S.*)$", text, re.IGNORECASE)
    return f"give {_object(given['who'])} {given['rest']}" if given else None


def _object(who: str) -> str:
    """A subject as an object, not capitalised unless it is a name: "They" gives "them"."""
    lowered = who.lower()
    if lowered in _AS_OBJECT:
        return _AS_OBJECT[lowered]
    first, _, rest = who.partition(" ")
    return f"{first.lower()} {rest}".strip() if first.lower() in _ARTICLES else who


def _commanded(text: str) -> str | None:
    first = _first(text)
    if first == "give" and re.match(r"^give (?:me|us)\b", text, re.IGNORECASE):
        return "show " + re.sub(r"^give (?:me|us)\s+", "", text, flags=re.IGNORECASE)
    if first not in VERBS or re.match(r"^(?:let|show) (?:me|us)\b", text, re.IGNORECASE):
        return None
    if re.match(
        r"^(?:look|watch|see|feel|play|go|do)\s+(?:at\b|this|that|it|here|how|you|the way)", text, re.IGNORECASE
    ):
        return None
    return text


def _first(text: str) -> str:
    return re.split(r"[\s,.;:]", text.lower(), maxsplit=1)[0]
