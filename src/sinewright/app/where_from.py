"""Where a number comes from: what it is made of, what was found on this patient, rows with source and how known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from sinewright.app.elements import Say, box, markup, source_note
from sinewright.case import Case, entries
from sinewright.case.labels import path_in_words
from sinewright.case.said import said
from sinewright.errors import SourceDataError
from sinewright.reference import load
from sinewright.results import Caution, Fired, View
from sinewright.wording.known import KNOWN_WORDS

ANGLES = ("range.affected.",)
STRENGTH = ("muscles.{donor}.", "torque.affected.dorsiflexion_Nm", "torque.other.")
JOINT = ("pa-riener-b0", "own-examiner-torque", "own-calf-share-of-passive")
FIBRES = ("arch-{donor-}-fibre-length-ward2009", "own-stretch-error")
FORCE = ("st-recommended-median", "tq-factor-chain-scar-gliding", "tq-factor-chain-drive-phase", "own-rubbing")
SWING = ("own-swing-speed", "own-swing-learned-drive", "own-swing-toe-off", "own-swing-curve-speed")
ARMS = ("ax-talocrural-frontal-inman1976", "ax-subtalar-inclination-krahenbuhl2017")
POSTURE = ("own-fixing-ankle", "own-fixing-knee", "own-fixing-short-of-limit")
ASSUMED = ("judged", "recalled")
"""How a number is known that shows as an assumption, whoever judged or remembered it."""
MOST = 8
"""Entries of the patient in one note: the first ones count most."""


@dataclass(frozen=True)
class Basis:
    """What one number stands on: how it is made, parts of the examination, rows. `{donor}` is the muscle."""

    what: str
    found: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()


BASES: dict[str, Basis] = {
    "rest_deg": Basis("Where joint, calf, weight of the foot and the relaxed moved muscle balance, shank hanging.",
                      ANGLES, (*JOINT, *FIBRES)),
    "rest_on_table_deg": Basis("Where joint, calf, weight of the foot and the relaxed moved muscle balance, leg lying.",
                               ANGLES, (*JOINT, *FIBRES)),
    "lift_deg": Basis("Where the donor at full effort and the resistance of joint and calf balance, knee straight.",
                      (*ANGLES, *STRENGTH), (*JOINT, *FORCE, *FIBRES)),
    "pushdown_deg": Basis("How far down the calf pulls the foot against the moved muscle as a tether.",
                          (*ANGLES, "torque.affected.plantarflexion_Nm"), (*FIBRES, "own-protect-push-that-matters")),
    "moment_neutral_Nm": Basis("Pull of the donor at full effort times its arm about the ankle, foot at neutral.",
                               STRENGTH, (*FORCE, *ARMS)),
    "junction_pull_N": Basis("Pull of the donor at full effort, less what rubs on the way.", STRENGTH, FORCE),
    "reach_margin_mm": Basis("Tendon from mark to cut, less the way in the posture of sewing, less the overlap.",
                             ("leg.", "plan.junction_overlap_mm"), ("own-weave-overlap", "own-tunnel-length")),
    "free_mm": Basis("Length along the donor's own path from its muscle-tendon mark to the cut, at this leg's size.",
                     ("leg.",), ("own-protect-tendon-length-error",)),
    "set_stretch_mm": Basis("The tension that was chosen; most of the best lifting moment is kept in the interval.",
                            ("plan.",), ("own-ruler-kept", "own-tension-kept", "own-sewing-pull", "own-stretch-error",
                                        *POSTURE)),
    "clears_swing": Basis("Share of virtual legs whose toes pass the floor in swing, donor after learning.",
                          (*ANGLES, "muscles.{donor}."),
                          ("own-swing-learned-drive", "own-swing-speed", "own-swing-steps-without-touch")),
    "lifts_to_neutral": Basis("Share of virtual legs that lift to neutral or above, knee straight, and reach.",
                              (*ANGLES, *STRENGTH), (*FORCE, *FIBRES)),
    "no_brace": Basis("Share of virtual legs whose sole clears the floor in swing and whose tendon reaches.",
                      (*ANGLES, "muscles.{donor}."), (*SWING, "own-swing-margin")),
    "hindfoot_in_lift_deg": Basis("How far the heel turns while the donor lifts at full effort, knee straight.",
                                  (*ANGLES, *STRENGTH), ("own-subtalar-stiffness", "own-subtalar-inversion-limit",
                                                         "own-subtalar-eversion-limit", *ARMS)),
    "share_of_normal": Basis("Lifting moment at neutral against what this leg's own lifters gave before the injury.",
                             STRENGTH, (*FORCE, *ARMS)),
    "swing_ankle_deg": Basis("Ankle angle in the middle of swing, donor after learning, each leg with its own walk.",
                             (*ANGLES, "muscles.{donor}."), SWING),
    "heel_strike_deg": Basis("Ankle angle when the heel meets the floor, each leg with its own walk.",
                             (*ANGLES, "muscles.{donor}."), SWING),
    "steppage_hip_deg": Basis("How much more the hip must flex for the toes to clear, each leg with its own walk.",
                              (*ANGLES, "muscles.{donor}."), (*SWING, "own-swing-margin")),
    "lowers_foot": Basis("Share of virtual legs whose lifting moment at heel strike covers what the floor asks.",
                            (*STRENGTH, "person.mass_kg"), (*FORCE, *SWING)),
    "inward_after_Nm": Basis("Moment that the muscles left in place can add to turn the foot in, sole square.",
                             ("muscles.",), ("gr-prior-donor-grade-4", *ARMS)),
    "outward_after_Nm": Basis("Moment that the muscles left in place can add to turn the foot out, sole square.",
                              ("muscles.",), ("gr-prior-donor-grade-4", *ARMS)),
    "worth": Basis("Mean over the virtual legs of each goal met, times its weight on this page.",
                   ("goals.",), ("own-told-apart",)),
    "asked": Basis("How often one finding, if it were known, would change which choice stands first.",
                   (), ("own-told-apart", "own-examiner-torque", "me-wb-df-goniometer-sem-konor2012", "me-pf-sem")),
    "fragile": Basis("Share of the doubt about the lift that goes away when one assumption is held still.",
                     (), (*FORCE, *JOINT, *FIBRES, *ARMS)),
    "reserve": Basis("The best of what stays possible when this one has failed: no muscle or tendon of it is spent.",
                     (*ANGLES, "muscles.", "goals."), (*FORCE, *FIBRES, *JOINT)),
    "told_apart": Basis("Two choices are told apart when enough of the same virtual legs do better with one.",
                        ("goals.",), ("own-told-apart",)),
    "status": Basis("Held against the limits of this program for a choice that is doubtful or set aside.",
                    (*ANGLES, *STRENGTH), ("own-judge-low-lift", "own-judge-weak-share", "own-judge-weak-donor",
                                           "own-judge-muscle-past", "own-judge-much-muscle-past",
                                           "own-judge-failed-share")),
    "ruler": Basis("Every two millimetres of set stretch, and 5 mm either side of the plan, on the same legs.",
                   ("plan.", *ANGLES), ("own-ruler-kept", *JOINT, *FIBRES, *FORCE)),
    "drawn": Basis("The middle leg at this patient's own size; lengths run along each tendon, muscle relaxed.",
                   ("leg.", "plan."), ("own-weave-overlap", "own-tunnel-length", *ARMS)),
    "steps": Basis("The frozen plan: how far the mark is drawn, in which posture, what tendon is there for the stitch.",
                   ("plan.", "leg."), (*POSTURE, "own-sewing-pull", "own-weave-overlap", "own-tunnel-length",
                                       "own-tension-kept")),
    "table": Basis("The virtual legs of the plan, weighed by how well each agrees with what was entered.", (),
                   ("own-protect-table-angle-error", "own-protect-ruler-error", "own-protect-tendon-length-error",
                    "own-protect-spring-error", "own-protect-stimulator-drive", "own-protect-early-relaxation")),
    "calf_gain": Basis("What the procedure adds to the passive limit up, knee straight, in the middle of the virtual "
                       "legs: what the plan expects; else a recession brings the limit of the straight knee to that of "
                       "the bent knee, and a lengthening adds the row below at every knee angle.",
                       ("range.affected.", "plan.calf_"), ("pa-tal-df-gain-salsich2005",)),
    "overlap": Basis("Junction overlap: tendon used up by weave or tunnel; as usual where the plan leaves it open.",
                     ("plan.junction_overlap_mm",), ("own-weave-overlap", "own-tunnel-length")),
    "exchange": Basis("Ankle angle and stretch set one length of tendon together: for each angle the stretch with "
                      "which the foot hangs as it would with the plan. How many go there: legs whose ankle goes up so "
                      "far, knee as it is held while sewing.", ANGLES, (*POSTURE, *JOINT, *FIBRES)),
    "calf_first": Basis("Every operation is screened with every calf procedure, each sewn anew as the legs after it "
                        "allow; what leads under any of them is worked out on all legs.",
                        (*ANGLES, "muscles.", "goals.", "plan.calf_"),
                        ("pa-tal-df-gain-salsich2005", *POSTURE, "own-sewing-pull")),
    "slope": Basis("What the table says when the foot is read to rest there: the change for the middle leg.",
                   ANGLES, (*JOINT, *FIBRES)),
}  # fmt: skip


def legs(draws: int, seed: int, rows: Sequence[str] = ()) -> str:
    """On how many virtual legs something was computed, and where `rows`, all that are behind it, are listed."""
    return f"Computed on {draws} virtual legs, seed {seed}. {lead_there(rows)}".strip()


def is_assumption(id: str) -> bool:
    """True for a row that nobody read in print: our judgement, or from memory."""
    return load().row(id).known in ASSUMED


def counted(rows: Sequence[str]) -> str:
    """How many rows, and how many of them are assumptions."""
    assumed = sum(is_assumption(row) for row in rows)
    return f"{len(rows)}, of them {assumed} {'assumption' if assumed == 1 else 'assumptions'}"


def lead_there(rows: Sequence[str]) -> str:
    """The sentence with which a note leads to the list of all rows; empty where there is none."""
    return f"Every row behind it ({counted(rows)}) stands at the foot of this page." if rows else ""


def row_line(id: str) -> str:
    """One row of the reference: value, how known, source, id."""
    reference = load()
    row = reference.row(id)
    source = reference.source(row.source).citation
    what = f"{row.structure.replace('-', ' ')}, {row.quantity.replace('-', ' ')}"
    value = "" if not row.has_number else f" {row.low:g}" if row.low == row.high else f" {row.low:g} to {row.high:g}"
    unit = "" if row.unit == "1" or not value else f" {row.unit}"
    known = f"{'assumption, ' if row.known in ASSUMED else ''}{KNOWN_WORDS.get(row.known, row.known)}"
    return f"{what}:{value}{unit}; {known}; {source} [{id}]"


def _known_row(id: str) -> bool:
    try:
        load().row(id)
    except SourceDataError:
        return False
    return True


def found_lines(case: Case, places: Sequence[str]) -> list[str]:
    """What the examination holds at some places, each with how it is known."""
    lines = []
    every = entries(case)
    for place in places:
        for item in (each for each in every if each.path.startswith(place)):
            known = f" ({item.known})" if item.known else ""
            lines.append(f"{path_in_words(item.path)}: {said(item, '°')}{known}")
    return lines


def note_of(key: str, case: Case, donors: Sequence[str], computed: str) -> str:
    """The whole note of one number: what it is, what was found on this patient, the rows that count most."""
    basis = BASES[key]
    places = [place.format(donor=donor) for place in basis.found for donor in donors or ("none",)]
    rows = [_with_donor(row, donor) for row in basis.rows for donor in donors or ("none",)]
    found = found_lines(case, tuple(dict.fromkeys(places)))
    lines = [f"{basis.what} {computed}"]
    if basis.found:
        more = f"\n· and {len(found) - MOST} more" if len(found) > MOST else ""
        shown = "".join(f"\n· {line}" for line in found[:MOST])
        lines.append(f"Found on this patient:{shown}{more}" if found else "Nothing of it was found on this patient.")
    named = [row for row in dict.fromkeys(rows) if _known_row(row)]
    if named:
        lines.append("Rows that count most:" + "".join(f"\n· {row_line(row)}" for row in named))
    return "\n\n".join(lines)


def _with_donor(row: str, donor: str) -> str:
    return row.replace("{donor-}", donor.replace("_", "-"))


def show_source_note(key: str, case: Case, donors: Sequence[str], computed: str, about: str) -> None:
    """The mark beside a number; `about` names the number for those who hear the page."""
    markup(source_note("computed", note_of(key, case, donors, computed), about), tag="span")


def show_views(views: Sequence[View]) -> None:
    """What each source says about a rule or another way, side by side."""
    how = KNOWN_WORDS[views[0].known] if len(views) == 1 else f"{len(views)} sources"
    markup(source_note(how, views_note(views)), tag="span")


def views_note(views: Sequence[View]) -> str:
    """Each view with how it is known and its source."""
    return "\n\n".join(f"{each.text}\n{KNOWN_WORDS[each.known]}: {each.source}" for each in views)


def rules_note(rules: Sequence[Fired]) -> str:
    """What the sources of some rules say, each rule once; empty where none spoke."""
    told = {rule.text: views_note(rule.views) for rule in rules}
    return "\n\n".join(f"{text}\n{views}" for text, views in told.items())


def cautions_note(rules: Sequence[Fired], cautions: Sequence[Caution]) -> str:
    """Where a list of cautions comes from: what the sources of the rules say, then each caution with its own."""
    told = [f"{each.text}\n{KNOWN_WORDS[each.known]}: {each.source}" for each in cautions]
    return "\n\n".join(filter(None, (rules_note(rules), *told))) or "No rule applies and no caution was raised."


def show_caution(caution: Caution) -> None:
    """The source of a caution."""
    markup(source_note(KNOWN_WORDS[caution.known], caution.source, caution.text), tag="span")


def rows_note(opening: str, rows: Sequence[str]) -> str:
    """A note that opens with a sentence and lists rows."""
    return opening + "".join(f"\n· {row_line(row)}" for row in rows)


PLACE = "every-row"
"""Where a page keeps its list, for links that lead there."""
OPENING = (
    "What the virtual legs were drawn from and the answers were held against. Each row: what, number, how known, "
    "source, name of the row. A rule names its own sources where it speaks."
)
FITTED = (
    "Where tendons and joints run was fitted to rows of lever arms, so that the drawn leg agrees with them; the fit is "
    "ours and counts as an assumption."
)


class EveryRow:
    """The list of a page, closed until it is asked for; `show` says which rows, the list is made when it opens."""

    def __init__(self) -> None:
        self._rows: tuple[str, ...] = ()
        self._card = box("section", "card", id=PLACE, tabindex="-1")
        self._card.set_visibility(False)
        with self._card, box("details", "more") as self._details:
            self._title = Say("summary", "")
            self._list = box("div", "every-row")
        self._details.on("toggle", self._turned, js_handler="(e) => emit(e.target.open)")

    def show(self, rows: Sequence[str]) -> None:
        """The rows behind what the page shows now."""
        self._rows = tuple(dict.fromkeys(rows))
        self._card.set_visibility(bool(self._rows))
        self._title.text = f"Every row behind the numbers of this page: {counted(self._rows)}"
        self._list.clear()
        if self._details.props.get("open") is not None:
            self._fill()

    def _turned(self, event: Any) -> None:
        opened = bool(event.args)
        if opened:
            self._details.props["open"] = ""
        else:
            self._details.props.pop("open", None)
        if opened and not len(list(self._list)):
            self._fill()

    def _fill(self) -> None:
        with self._list:
            Say("p", OPENING, "hint")
            for title, rows in parted(self._rows):
                Say("h3", f"{title}: {len(rows)}")
                markup("".join(f"<li>{escape(row_line(row))}</li>" for row in rows), "ul", "origins")
            Say("p", FITTED, "hint")


def parted(rows: Sequence[str]) -> list[tuple[str, list[str]]]:
    """The rows that are assumptions, then those that were read, quoted or derived from print."""
    assumed = [row for row in rows if is_assumption(row)]
    printed = [row for row in rows if not is_assumption(row)]
    named = (
        ("Assumptions, our judgement or a textbook value without a checked source", assumed),
        ("From print", printed),
    )
    return [(title, found) for title, found in named if found]
