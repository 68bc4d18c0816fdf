"""Word stems: `slides`, `sliding` and `slid` are one word to every rule."""

from functools import lru_cache

import snowballstemmer

_IRREGULAR_LINES = """
be: is are was were am been being
have: has had having
do: does did done doing
go: goes went gone going
get: gets got gotten getting
arise: arose arisen
bend: bent
bind: bound
bite: bitten
blow: blew blown
break: broke broken
bring: brought
build: built
buy: bought
catch: caught
choose: chose chosen
come: came
creep: crept
cling: clung
deal: dealt
dig: dug
draw: drew drawn
drive: drove driven
eat: ate eaten
fall: fell fallen
feel: felt
fight: fought
find: found
fling: flung
fly: flew flown flies
foot: feet
forget: forgot forgotten
freeze: froze frozen
give: gave given
grow: grew grown
hang: hung
hear: heard
hide: hid hidden
hold: held
keep: kept
kneel: knelt
know: knew known
lean: leant
leap: leapt
lead: led
lose: lost
make: made
mean: meant
meet: met
pay: paid
ride: rode ridden
ring: rang rung
rise: rose risen
run: ran
say: said
see: saw seen
seek: sought
sell: sold
send: sent
shake: shook shaken
shine: shone
show: shown
shrink: shrank shrunk
sing: sang sung
sink: sank sunk
sit: sat
slide: slid
sling: slung
speak: spoke spoken
spin: spun
spring: sprang sprung
stand: stood
steal: stole stolen
stick: stuck
strike: struck
sweep: swept
swell: swollen
swim: swam swum
swing: swung
take: took taken
teach: taught
tear: tore torn
tell: told
throw: threw thrown
tooth: teeth
understand: understood
wake: woke woken
wear: wore worn
weep: wept
wind: wound
write: wrote written
knife: knives
half: halves
shelf: shelves
calf: calves
child: children
man: men
woman: women
goose: geese
mouse: mice
die: dying
lie: lying lain
tie: tying
slow: slowly
soft: softly
strong: strongly
weak: weakly
wide: widely
deep: deeply
heavy: heavily
light: lightly
clear: clearly
clean: cleanly
loose: loosely
tight: tightly
quick: quickly
sharp: sharply
smooth: smoothly
bad: badly
center: centre centred centres centering centring
color: colour colours coloured
favor: favour favours favoured favouring
behavior: behaviour behaviours
humor: humour
armor: armour
neighbor: neighbour neighbours neighbouring
gray: grey
jewelry: jewellery
mold: mould
mustache: moustache moustaches
program: programme
emphasize: emphasise emphasised emphasising emphasises
organize: organise organised organising
symmetrize: symmetrise
"""

_IRREGULAR = {
    form: base
    for base, forms in (line.split(":") for line in _IRREGULAR_LINES.strip().splitlines())
    for form in forms.split()
}

_snowball = snowballstemmer.stemmer("english")


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """The stem of one word, lower case: the Snowball English stem of it or of its irregular base form.

    British and American spellings share a stem. A comparative keeps its own: "faster" asks for what
    "fast" only states.
    """
    lowered = word.lower()
    return str(_snowball.stemWord(_IRREGULAR.get(lowered, lowered)))
