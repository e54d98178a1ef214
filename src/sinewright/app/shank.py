"""A cut through the middle of the shank: which muscle works, by mark and number, with the list in words beside it."""

from __future__ import annotations

from html import escape

from sinewright.case import MUSCLES, Case
from sinewright.case.labels import TRADE
from sinewright.case.muscles import Muscle, state_of

# Place (x, y) and radius of each belly in a right leg seen from above, the front at the top; a left leg is mirrored.
_PLACES: dict[str, tuple[float, float, float]] = {
    "tibialis_anterior": (172, 60, 20), "extensor_hallucis_longus": (196, 84, 12),
    "extensor_digitorum_longus": (212, 62, 14), "peroneus_tertius": (224, 88, 10),
    "peroneus_longus": (252, 118, 16), "peroneus_brevis": (243, 149, 13), "tibialis_posterior": (166, 122, 17),
    "flexor_digitorum_longus": (123, 146, 13), "flexor_hallucis_longus": (202, 164, 15), "soleus": (160, 192, 24),
    "gastrocnemius_medial": (110, 216, 22), "gastrocnemius_lateral": (214, 216, 20), "gracilis": (66, 150, 9),
}  # fmt: skip
_WIDE = 310
_WORDS = {
    "normal": "works", "weak": "weak", "recovering": "recovering", "paralysed": "paralysed", "absent": "absent",
    "scarred": "scarred", "": "not examined",
}  # fmt: skip
_PATTERN = (
    '<defs><pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path d="M0 0V5" class="hatch"/></pattern></defs>'
)


def sentence(case: Case) -> str:
    """One sentence: what works in front, outside and behind."""
    alive = [TRADE[name] for name, muscle in case.muscles.named() if state_of(muscle) in ("normal", "recovering")]
    gone = [TRADE[name] for name, muscle in case.muscles.named() if state_of(muscle) in ("paralysed", "absent")]
    told = [f"Works: {_listed(alive)}." if alive else "", f"Gone: {_listed(gone)}." if gone else ""]
    return " ".join(part for part in told if part) or "No muscle was examined yet."


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def picture(case: Case) -> str:
    """The drawing as SVG mark-up; the numbers are those of the list."""
    mirrored = case.side == "left"
    bellies = "".join(_belly(number, name, case, mirrored) for number, name in enumerate(MUSCLES, 1))
    turn = f' transform="translate({_WIDE} 0) scale(-1 1)"' if mirrored else ""
    bones = (
        f'<g{turn}><path class="skin" d="M160 18C232 14 288 70 286 132C284 206 226 252 156 252C84 252 34 206 34 140'
        'C34 70 92 22 160 18Z"/><path class="bone" d="M84 62C104 44 140 52 146 78C150 104 134 124 108 122'
        'C84 120 66 82 84 62Z"/><circle class="bone" cx="216" cy="128" r="13"/></g>'
    )
    inner, outer = ("outer", "inner") if mirrored else ("inner", "outer")
    words = (
        f'<text x="155" y="12" class="side">front</text><text x="4" y="136" class="side start">{inner}</text>'
        f'<text x="306" y="136" class="side end">{outer}</text><text x="155" y="268" class="side">back</text>'
    )
    title = f"Cut through the {case.side} shank, seen from above: {sentence(case)}"
    return (
        f'<svg class="shank" viewBox="0 0 {_WIDE} 274" role="img" aria-label="{escape(title)}">'
        f"{_PATTERN}{bones}{bellies}{words}</svg>"
    )


def _belly(number: int, name: str, case: Case, mirrored: bool) -> str:
    x, y, r = _PLACES[name]
    x = _WIDE - x if mirrored else x
    state = state_of(_muscle(case, name)) or ""
    cross = f'<path class="gone" d="M{x - r * 0.7:.0f} {y + r * 0.7:.0f}L{x + r * 0.7:.0f} {y - r * 0.7:.0f}"/>'
    return (
        f'<g class="belly {state or "unknown"}"><circle cx="{x:.0f}" cy="{y}" r="{r}"/>'
        f"{cross if state in ('paralysed', 'absent') else ''}"
        f'<text x="{x:.0f}" y="{y + 4}">{number}</text></g>'
    )


def _muscle(case: Case, name: str) -> Muscle:
    found: Muscle = getattr(case.muscles, name)
    return found


def listing(case: Case) -> str:
    """The muscles in words: number, name, state, grade."""
    rows = []
    for name in MUSCLES:
        muscle = _muscle(case, name)
        state = state_of(muscle) or ""
        grade = f", grade {muscle.grade.value}" if muscle.grade else ""
        rows.append(
            f'<li class="{state or "unknown"}"><span>{escape(TRADE[name])}</span> '
            f"<b>{_WORDS[state]}{escape(grade)}</b></li>"
        )
    return f'<ol class="muscles">{"".join(rows)}</ol>'
