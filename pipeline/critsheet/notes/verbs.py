"""The verbs that critiques command with, and their "-ing" forms."""

VERBS = frozenset(
    """
    accelerate accent act add adjust aim align allow anchor animate antic anticipate arc arrange attach avoid
    bake balance bend bite blend block blow bounce brace break breathe brighten bring build bump bunch bung burn
    calm carry catch change cheat check choose chop chuck clean clear close cock coil combine come commit
    compare connect constrain contrast convert cool copy correct count counter crook crop cross cull curl curve
    cushion cut dampen darken delay delete dig dip disconnect ditch do don't dot double drag draw drift drive
    drop duplicate ease edit emphasise emphasize ensure erase establish exaggerate expand explore extend
    fade fan favor favour feel figure film find finish fix flatten flick fling flip float flop focus follow
    force frame free freeze get give go grab group grow halve hang have heave hide hinge hit hitch hold hook
    hunt increase introduce invert isolate jam jitter keep key kick kill lag land lead lean leave lengthen let
    level lift lighten limit line link load lob lock look loosen lose lower make mark match measure merge mess
    mind mirror mix move mute nail narrow nest never nudge offset open overlap overshoot own pace pare park part
    paste pause peel pick pin pinch pivot place plan plant play plot plus point polish pop pose practice
    practise preserve press prioritise prioritize protect pull push put raise reach record redo redraw reduce
    reference refine relax release remove render reorder repeat replace repose rescale reset reshoot resize
    respect retime reverse rework rewrite rip rock roll rotate rough run sag save scale scooch scoot scrap
    scrub scrunch separate set settle shake shape sharpen shave shift shoot shorten shove show shrink simplify
    sink sit skew skip slam slide slip slow smear smooth snap soften sort space speed spend spin splay splice
    spline split spot spread squash squeeze squint squish stagger stand start stay steal stick stiffen stop
    straighten strengthen stretch strip study stuff swap sweep swing switch take tap taper tell test thicken
    arch clench crouch curl drain dress drape empty fill flare fold grip hollow hunch lay pack peg pitch plug puff
    rear ride send stoop trim unfold wake wedge bury clamp dial gather grab jut kneel loop
    mash mush neaten pare pump recheck reposition reroute screw sell shut
    sketch squish swap tidy trade video wiggle wobble
    thin throw thumbnail tie tighten tilt time tip tone touch trace track trail transfer trim trust try tuck
    turn tweak twist unlock use vary wait walk warp watch weight whack widen wind wipe work wrap write yank zoom
    """.split()
)
"""Verbs that open a command in critiques. Whole clauses that start with one are taken as said."""

ALSO_NOUNS = frozenset(
    """
    accent act arc balance beat bend block blow bounce brace break bump change check close contrast cover cross curve
    cut dip drag draw drift drive drop ease fall fan fix flash flip float flop focus force frame gap grip hang
    hide hit hold hook jam jitter jump key kick lag land lead lean level lift light limit line link load lock look
    loop mark match mess mirror mix move offset open overlap own pace pan pass pause pin place plan plant play plot
    pop pose press pull push reach record release roll rock round run save scale separate set settle shake shape
    shift show shoulder slide slip slow smear snap sort space spin splash split spot spread spring sprint squash
    squeeze squint stand start step stick stop stretch string swap sweep swing switch take tap taper tell test thin
    throw tie tilt time tip tone touch trace track trail transfer try turn twist type walk wash watch weight whip
    arch dress fold grip loop lay pack peg pitch plug puff rear ride trade trim video wake wedge sketch wobble dial
    fill drain     wind wipe work wrap zoom brush still speed hand head eye face
    """.split()
)
"""Of these verbs a determiner shortly before makes a noun ("in the turn the head leads")."""


def _ing(verb: str) -> str:
    if verb.endswith("e") and not verb.endswith(("ee", "oe", "ye")):
        return verb[:-1] + "ing"
    if len(verb) < _LONG_VERB and verb[-1] in "bdgmnpt" and verb[-2] in "aeiou" and verb[-3:-2] not in set("aeiou"):
        return verb + verb[-1] + "ing"
    return verb + "ing"


_LONG_VERB = 6
"""Short verbs in one vowel and one consonant double it: "stopping"."""

GERUNDS = {_ing(verb): verb for verb in sorted(VERBS) if verb.isalpha()}
"""From "delaying" to "delay"."""

HAPPENS = frozenset(
    """
    act behave belong bob break buckle bump clash clip creep crawl dangle dart die disappear drift droop drop emerge
    end explode face fall feel finish fit flap flicker float flop flow flutter fly follow fold freeze get give glide go
    grow hang happen hit hover jerk jiggle jitter join jump lag land lead lean leave lock look match melt miss
    move overlap overshoot pass pierce point pop press read rest rise rock roll rotate rub sag sit skate skid slide
    slip slosh snap spin stand start stay stick stop strobe swim swing tick tilt touch travel trail tremble turn twin
    twist twitch vanish vibrate wait wander warp whip wiggle wobble work
    """.split()
)
"""What parts and props do by themselves; after a plural these are verbs ("the eyelids flutter")."""

DETERMINERS = frozenset(
    "the a an his her their its your my our this that these those some any no every each both another one all".split()
)

FINITE = frozenset(
    "is isn't are aren't was wasn't were weren't has hasn't have haven't had does doesn't do don't did didn't can "
    "can't cannot could couldn't should shouldn't would wouldn't will won't must mustn't may might needs need wants "
    "want goes looks feels gets comes makes reads works pops slides stays just never ought".split()
)

PREPOSITIONS = frozenset(
    "in on at by up down out off behind under over across through into onto from to with for of all round around along "
    "past between near against before after until till without beside".split()
)


def third_person(word: str) -> bool:
    """Whether a word looks like a verb of the third person: "slides"."""
    return word.endswith("s") and bool({word[:-1], word.removesuffix("es")} & (VERBS | HAPPENS))
