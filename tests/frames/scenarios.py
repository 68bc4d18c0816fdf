"""The situations of a review that the matching is measured in, each a script and a screen."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from pathlib import Path

from clips import CLIPS, Clip, stranger
from reviews import Renderer, Screen, Script, record, truth_at

SAMPLES_A_SECOND = 5


_PLAIN = Screen()


@dataclass(frozen=True)
class Scenario:
    """`group` names the aim that the scenario falls under."""

    name: str
    group: str
    act: Callable[[Script], Script]
    screen: Screen = _PLAIN
    crf: int = 23


def _usual(script: Script) -> Script:
    end = len(script.clip.pictures) - 1
    script.play(5).hold(2).step(4).step(-3).scrub(end * 0.2, 1.2).scrub(end * 0.8, 2.0).hold(1)
    return script.play(3, 0.5).play(2, 2.0).hold(1).to(end // 3).hold(1.4).play(2, -1.0)


def _drawn_over(script: Script) -> Script:
    end = len(script.clip.pictures) - 1
    script.play(3).draw(4).hold(1.5).wipe().step(3).draw(3).hold(1).play(3).wipe()
    return script.scrub(end * 0.3, 1.5).draw(3, 0.6).step(4, 0.3).hold(1)


def _zoomed_still(script: Script) -> Script:
    end = len(script.clip.pictures) - 1
    script.play(3).to(end // 2).hold(1).look(2.2, (0.45, 0.4), 1).hold(1).step(3).play(4).hold(0.6)
    return (
        script.look(2.2, (0.6, 0.6), 1).step(-3).look(1.0, (0.5, 0.5), 0.8).play(3).look(1.5, (0.5, 0.6), 0.4).play(4)
    )


def _zoomed_playing(script: Script) -> Script:
    script.play(2).play(2, 1.0, zoom=2.0, centre=(0.45, 0.5)).play(2)
    script.play(2, 1.0, centre=(0.6, 0.55)).play(2, 0.5, zoom=3.0).play(2, 1.0, zoom=1.0)
    return script.play(2)


def _away(script: Script) -> Script:
    script.away("desktop", 2).play(4).hold(1).away("window", 5).hold(1).play(2).away("menu", 3).step(3)
    return script.away("stranger", 6).play(3).away("window", 3)


def _everything(script: Script) -> Script:
    end = len(script.clip.pictures) - 1
    script.away("window", 2).play(4).draw(2).hold(1).wipe().look(1.8, (0.45, 0.5), 0.8).step(4).play(3)
    script.look(1.0, (0.5, 0.5), 0.6).scrub(end * 0.2, 1.5).away("stranger", 3).draw(2).step(-3)
    return script.wipe().play(3, 2.0).away("menu", 2).hold(1)


_FULL = Screen(viewer=(0, 0, 1280, 720), chrome=False, backdrop=0, cursor=False)
SCENARIOS = (
    Scenario("usual", "plain", _usual),
    Scenario("full screen", "plain", _usual, _FULL),
    Scenario("small, high up", "plain", _usual, Screen(viewer=(700, 48, 480, 300))),
    Scenario("letterbox", "plain", _usual, Screen(viewer=(60, 80, 640, 600))),
    Scenario("counter, brighter", "plain", _usual, Screen(counter=True, gain=1.12, lift=9)),
    Scenario("stretched", "plain", _usual, Screen(stretch=0.85)),
    Scenario("drawn over", "drawn over", _drawn_over),
    Scenario("ghosts", "drawn over", _usual, Screen(ghost=0.4)),
    Scenario("zoom, then play", "zoom, harsh", _zoomed_still),
    Scenario("zoom while playing", "zoom, harsh", _zoomed_playing),
    Scenario("harsh coding", "zoom, harsh", _usual, crf=42),
    Scenario("elsewhere", "plain", _away),
    Scenario("mirrored", "plain", _usual, Screen(mirrored=True)),
    Scenario(
        "everything", "zoom, harsh", _everything, Screen(ghost=0.25, counter=True, viewer=(200, 70, 760, 520)), 34
    ),
)
_ELSEWHERE = ("usual", "drawn over", "zoom, then play", "zoom while playing", "harsh coding", "elsewhere", "everything")


def cases() -> list[tuple[str, Scenario]]:
    """Every pair of clip and scenario that is measured: all scenarios on film, the hard ones on each drawn clip."""
    pairs = [("film", scenario) for scenario in SCENARIOS]
    return pairs + [(clip, each) for clip in list(CLIPS)[1:] for each in SCENARIOS if each.name in _ELSEWHERE]


def render(clip: Clip, scenario: Scenario, path: Path) -> tuple[Path, list[int | None]]:
    """The recording, and the shot index on screen at each sampled moment."""
    looks = scenario.act(Script(clip)).looks
    if not path.exists():
        record(looks, Renderer(clip, scenario.screen, stranger()), path, scenario.crf)
    seconds = Fraction(len(looks), 25)
    moments = [Fraction(k, SAMPLES_A_SECOND) for k in range(ceil(seconds * SAMPLES_A_SECOND))]
    return path, [truth_at(looks, moment) for moment in moments]
