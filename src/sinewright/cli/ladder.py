"""The choice ladder as lines of text: one row per choice, best on top, the doubt drawn beside the words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text

from sinewright.cli.parts import heading, wrapped
from sinewright.cli.screen import BLUE, GREEN, VERMILLION, Marks, Screen
from sinewright.results import Goal, Outcome, Spread, Standing
from sinewright.wording.columns import LADDER_COLUMNS, Column
from sinewright.wording.counts import in_hundred, percent
from sinewright.wording.directions import STRETCH, UP_DOWN, posture_words
from sinewright.wording.standing import Worths, apart, goal_words


def weights_line(goals: Sequence[Goal], screen: Screen) -> list[Text]:
    """The weights in one sentence, the heaviest first."""
    if not goals:
        return []
    ordered = sorted(goals, key=lambda goal: -goal.weight)
    told = ", ".join(f"{goal_words(goal.name)} {percent(goal.weight):.0f} %" for goal in ordered)
    return wrapped(f"Weights: {told}.", screen, "dim")


def goals_lines(goals: Sequence[Goal], screen: Screen) -> list[Text]:
    """The section that says how each goal is read; names as `--weight` takes them."""
    if not goals:
        return []
    lines = heading("Goals, each from 0 to 1")
    lines += wrapped(
        "Weights are the case's, 5 where it says nothing; --weight NAME=0..10 tries others.", screen, "dim"
    )
    width = max(len(goal.name) for goal in goals)
    for goal in goals:
        opening = f"{goal.name.ljust(width)}  {percent(goal.weight):3.0f} %  "
        lines += wrapped(goal.scale, screen, "", opening, " " * len(opening))
    return lines


def standing_lines(standing: Standing, worths: Worths, screen: Screen, indent: str) -> list[Text]:
    """Worth and whether the first is told apart from it; the goals behind it; what is left if it fails."""
    utility = standing.utility
    told = (
        f"Weighted goals {percent(standing.mean):.0f} of 100 on average "
        f"({percent(utility.p05):.0f} to {percent(utility.p95):.0f}). "
        f"{apart(standing)}"
    )
    met = ", ".join(f"{goal_words(goal.name)} {percent(standing.met[goal.name]):.0f}" for goal in worths.goals)
    reserve = (worths.titles or {}).get(standing.reserve, "no other choice is left")
    lines = wrapped(told, screen, "", indent, indent)
    lines += wrapped(f"Each goal: {met}.", screen, "", indent, indent)
    return [*lines, *wrapped(f"If it fails: {reserve}.", screen, "", indent, 2 * indent)]


GAP = 2
INDENT = 2
BAR_WIDTHS = (24, 45)
BAR_SHARE = 0.3
AXIS_ALWAYS_DEG = (-20.0, 20.0)
AXIS_NEVER_BEYOND_DEG = (-60.0, 40.0)
TICKS_DEG = (0, -20, 20, -40, 40, -10, 10, -30, 30, -60, -50)


@dataclass(frozen=True)
class TextAxis:
    """Degrees of ankle angle along `width` characters; values outside are drawn at the edge with an arrow."""

    low_deg: float
    high_deg: float
    width: int

    def place(self, value_deg: float) -> int:
        """The character, 0 to `width` - 1, that stands for `value_deg`."""
        share = (value_deg - self.low_deg) / (self.high_deg - self.low_deg)
        return max(0, min(self.width - 1, round(share * (self.width - 1))))

    def holds(self, value_deg: float) -> bool:
        """True when `value_deg` lies on the axis."""
        return self.low_deg <= value_deg <= self.high_deg


def axis_for(spreads: Sequence[Spread], width: int) -> TextAxis:
    """The axis that shows all `spreads` in whole tens, with 20 down to 20 up always on it."""
    low = min([AXIS_ALWAYS_DEG[0], *(10.0 * math.floor(each.p05 / 10.0) for each in spreads)])
    high = max([AXIS_ALWAYS_DEG[1], *(10.0 * math.ceil(each.p95 / 10.0) for each in spreads)])
    return TextAxis(max(low, AXIS_NEVER_BEYOND_DEG[0]), min(high, AXIS_NEVER_BEYOND_DEG[1]), width)


def empty_track(axis: TextAxis, marks: Marks, zone_deg: tuple[float, float]) -> list[tuple[str, str]]:
    """One row of (mark, style) without a bar: the shaded target zone and the line at neutral."""
    first, last = axis.place(zone_deg[0]), axis.place(zone_deg[1])
    track = [(marks.shade, f"{GREEN} dim") if first <= at <= last else (" ", "") for at in range(axis.width)]
    track[axis.place(0.0)] = (marks.neutral, GREEN)
    return track


def bar(spread: Spread, axis: TextAxis, marks: Marks, zone_deg: tuple[float, float]) -> Text:
    """Dot: the middle. Thick: half of the virtual legs. Thin: nine-tenths. Shade: the target zone."""
    track = empty_track(axis, marks, zone_deg)
    for low, high, mark in ((spread.p05, spread.p95, marks.thin), (spread.p25, spread.p75, marks.thick)):
        for at in range(axis.place(low), axis.place(high) + 1):
            track[at] = (mark, BLUE)
    if not axis.holds(spread.p05):
        track[0] = (marks.beyond_left, BLUE)
    if not axis.holds(spread.p95):
        track[-1] = (marks.beyond_right, BLUE)
    track[axis.place(spread.p50)] = (marks.dot, f"bold {BLUE}")
    return _joined(track)


def _joined(track: Sequence[tuple[str, str]]) -> Text:
    line = Text()
    for mark, style in track:
        line.append(mark, style)
    return line


def tick_line(axis: TextAxis, marks: Marks) -> Text:
    """``20° down   neutral   20° up`` over the axis; a label that would touch another is left out."""
    letters = [" "] * axis.width
    for tick in TICKS_DEG:
        label = UP_DOWN.one(tick, marks.degree)
        start = max(0, min(axis.width - len(label), axis.place(tick) - len(label) // 2))
        around = letters[max(0, start - 1) : start + len(label) + 1]
        if axis.holds(tick) and not any(letter.strip() for letter in around):
            letters[start : start + len(label)] = label
    return Text("".join(letters), "dim")


@dataclass(frozen=True)
class Grid:
    """Widths of the bar and of the columns that fit beside it; the `rest` is told in words under each row."""

    bar_width: int
    columns: tuple[Column, ...]
    widths: tuple[int, ...]
    rest: tuple[Column, ...]


def plan_grid(rows: Sequence[Outcome], screen: Screen) -> Grid:
    """As many columns, in their order, as leave the bar a readable width; the bar takes what is over."""
    least = max(BAR_WIDTHS[0], round(BAR_SHARE * screen.width))
    room = screen.width - INDENT - least
    taken: list[int] = []
    for column in LADDER_COLUMNS:
        width = _column_width(column, rows, screen)
        if taken and room < width + GAP:
            break
        room -= width + GAP
        taken.append(width)
    fitting = len(taken)
    bar_width = min(max(BAR_WIDTHS[1], least), least + max(0, room))
    return Grid(bar_width, tuple(LADDER_COLUMNS[:fitting]), tuple(taken), tuple(LADDER_COLUMNS[fitting:]))


def _column_width(column: Column, rows: Sequence[Outcome], screen: Screen) -> int:
    texts = [*column.heading]
    for row in rows:
        texts.extend(column.cell(row.spread(column.key), screen.marks.degree))
    return max(len(text) for text in texts)


def ladder_lines(rows: Sequence[Outcome], screen: Screen, zone_deg: tuple[float, float], worths: Worths) -> list[Text]:
    """Every row with its name over its bar, the columns beside it, and what did not fit in words below."""
    if not rows:
        return []
    grid = plan_grid(rows, screen)
    axis = axis_for([spread for row in rows if (spread := row.spread("lift_deg"))], grid.bar_width)
    lines = _heading(grid, axis, screen)
    for row in rows:
        lines += [*_name(row, screen), *_drawn(row, grid, axis, screen, zone_deg)]
        lines += _details(row, grid, screen)
        lines += _standing(row, worths, screen)
        lines.append(Text())
    return lines[:-1]


def aside_lines(aside: Sequence[Outcome], screen: Screen) -> list[Text]:
    """The choices that were set aside, dimmed: each reason once, the choices it holds for under it."""
    by_reason: dict[str, list[Outcome]] = {}
    for row in aside:
        by_reason.setdefault(row.reason, []).append(row)
    lines: list[Text] = []
    for reason, rows in by_reason.items():
        lines += wrapped(reason, screen, "", f"{screen.marks.bullet} ", "  ")
        for row in rows:
            lines += wrapped(f"{row.choice.title}: {row.choice.subtitle}", screen, "dim", "    ", "      ")
    return lines


def _name(row: Outcome, screen: Screen) -> list[Text]:
    title, best = screen.say(row.choice.title), row.standing is not None and row.standing.pareto_front
    first = f"{screen.marks.best if best else ' '} "
    told = f"{title}  {screen.say(row.choice.subtitle)}".rstrip()
    lines = wrapped(told, screen, first=first, after=" " * 2 * INDENT)
    lines[0].stylize("bold", 0, INDENT + len(title))
    return lines


def _standing(row: Outcome, worths: Worths, screen: Screen) -> list[Text]:
    """Where the choice stands under the weights, and its id as `ruler --choice` takes it."""
    indent = " " * INDENT
    lines = standing_lines(row.standing, worths, screen, indent) if row.standing else []
    return [*lines, *wrapped(f"id {row.choice.id}", screen, "dim", indent, indent)]


def _drawn(row: Outcome, grid: Grid, axis: TextAxis, screen: Screen, zone_deg: tuple[float, float]) -> list[Text]:
    spread = row.spread("lift_deg")
    if spread is None:
        return []
    bars = [bar(spread, axis, screen.marks, zone_deg), _joined(empty_track(axis, screen.marks, zone_deg))]
    cells = [column.cell(row.spread(column.key), screen.marks.degree) for column in grid.columns]
    return _beside(bars, [[Text(upper), Text(lower)] for upper, lower in cells], grid)


def _details(row: Outcome, grid: Grid, screen: Screen) -> list[Text]:
    """Status with its reason, then in words what did not fit, and how the junction is sewn."""
    indent = " " * INDENT
    lines = []
    if row.reason:
        lines = wrapped(f"{row.status}: {row.reason}", screen, first=indent, after=indent)
        lines[0].stylize(VERMILLION if row.status == "doubtful" else "dim", INDENT, INDENT + len(row.status))
    degree = screen.spelled_degree
    told = [
        f"{column.label} {middle} ({nine_tenths})"
        for column in grid.rest
        if (spread := row.spread(column.key))
        for middle, nine_tenths in [column.cell(spread, degree)]
    ]
    if clears := row.chances.get("clears_swing"):
        told.insert(0, f"clears the floor in swing, without a brace, {in_hundred(clears)}")
    if lets := row.chances.get("lowers_foot"):
        told.insert(1, f"foot lowered under control after heel strike {in_hundred(lets)}")
    if row.spread("lift_deg"):
        told.append(f"set stretch {STRETCH.one(row.choice.set_stretch_mm)}")
    if row.failed_share > 0.0:
        told.append(f"no solution in {percent(row.failed_share):.1f} % of the virtual legs, left out")
    return lines + wrapped("; ".join(told), screen, "", indent, indent)


def posture_lines(rows: Sequence[Outcome], screen: Screen) -> list[Text]:
    """In which posture the junctions are sewn; one line for each posture that occurs."""
    postures = dict.fromkeys(row.choice.fixing for row in rows)
    lines: list[Text] = []
    for fixing in postures:
        told = [row.choice.title for row in rows if row.choice.fixing == fixing]
        who = "All" if len(postures) == 1 else f"{'; '.join(dict.fromkeys(told))}:"
        lines += wrapped(
            f"{who} sewn with {posture_words(fixing)}.",
            screen,
            "dim",
        )
    return lines


def _heading(grid: Grid, axis: TextAxis, screen: Screen) -> list[Text]:
    heads = []
    for column in grid.columns:
        unit = "degrees" if column.heading_unit == "deg" and not screen.full else ""
        heads.append([Text(text, "dim") for text in (*column.heading, unit)])
    return [line for line in _beside([Text(), tick_line(axis, screen.marks)], heads, grid) if line.plain.strip()]


def _beside(bars: Sequence[Text], columns: Sequence[Sequence[Text]], grid: Grid) -> list[Text]:
    """`bars` and the lines of each column side by side, everything filled up with blanks to its width."""
    height = max(len(bars), *(len(column) for column in columns))
    padded = [_pad(bars, height, grid.bar_width + GAP)]
    padded += [_pad(each, height, width + GAP) for each, width in zip(columns, grid.widths, strict=True)]
    return [Text.assemble(" " * INDENT, *cells) for cells in zip(*padded, strict=True)]


def _pad(lines: Sequence[Text], height: int, width: int) -> list[Text]:
    """`lines` filled up with blank ones to `height`, each filled up with blanks to `width`."""
    return [
        Text.assemble(line, " " * max(0, width - len(line.plain)))
        for line in [*lines, *[Text()] * (height - len(lines))]
    ]
