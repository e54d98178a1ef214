"""What is drawn of one patient and one operation: the middle leg, its tendons in any pose, slack or tight.

Everything here comes from the model: paths, pulleys, set stretch, free tendon and the tension that decides between
slack and tight. Metres, radians and newtons; the foot is a right one.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sinewright.anatomy.fit import reference_joint_axes
from sinewright.anatomy.sizes import draw_sizes
from sinewright.anatomy.skeleton import Skeleton, build, clear_cylinders, landmark_index, native_paths
from sinewright.arrays import Floats
from sinewright.case import Case
from sinewright.choose.sewing import sewn_for
from sinewright.doubt.proposal import measured_sizes
from sinewright.doubt.sample import middle
from sinewright.doubt.virtual import draw
from sinewright.export.strands import PosedPath, lay_line, pose_at
from sinewright.muscle.equilibrium import MuscleTendon
from sinewright.muscle.names import LEG_MUSCLES
from sinewright.plan import find_choice
from sinewright.protect.tension import planned_tension
from sinewright.reference import load
from sinewright.results import FixingTension, Side
from sinewright.solve.actuators import muscle_tension
from sinewright.solve.leg import Legs
from sinewright.transfer.catalogue import RoutedDonor, moved_paths, pulling_paths
from sinewright.transfer.plans import TUNNEL, WEAVE, SewnOperation
from sinewright.units import m

SIZE_DRAWS = 4000
SLACK_N = 0.05  # below this pull a tendon hangs loose
LONGEST_SLACK = m(60.0)


@dataclass(frozen=True)
class Tendon:
    """One donor of the operation in one pose.

    `native` is its own path with `native_mark`, the length [m] from the origin to its muscle-tendon mark; `cut` the
    length on it where it is divided. `moved` are the new strands with their shares; `mark` the length [m] along the
    first to the moved mark, `junction` to the junction, `overlap` the tendon used up there. `tension` [N] is passive,
    `slack` [m] how much longer the tendon is than its way.
    """

    laid: RoutedDonor
    native: PosedPath
    native_mark: float
    cut: float
    free: float
    moved: tuple[PosedPath, ...]
    mark: float
    junction: float
    overlap: float
    tension: float
    slack: float


@dataclass(frozen=True)
class DrawnLeg:
    """The middle leg of a patient with one operation on it; ``tension`` is that over all virtual legs."""

    side: Side
    sizes: Floats
    skeleton: Skeleton
    muscles: Floats
    sewn: SewnOperation
    elastic: bool
    tension: FixingTension | None = None

    @cached_property
    def neutral(self) -> Floats:
        """Pose (27) of the foot at neutral."""
        return pose_at(self.skeleton, 0.0, 0.0)

    @cached_property
    def fixing(self) -> Floats:
        """Pose (27) in which the junction is sewn."""
        return pose_at(self.skeleton, self.sewn.ankle, self.sewn.subtalar)

    @property
    def parts(self) -> tuple[RoutedDonor, ...]:
        """The donors of the operation with their paths."""
        return self.sewn.moved.parts if self.sewn.moved is not None else ()

    def line(self, steps: str, pose: Floats) -> PosedPath:
        """A moved strand, by its text, in a pose."""
        return lay_line(self.skeleton, moved_paths()[steps], pose)

    def native(self, muscle: str, pose: Floats) -> PosedPath:
        """The own path of a muscle in a pose."""
        return lay_line(self.skeleton, native_paths()[muscle], pose)

    def length(self, part: RoutedDonor, pose: Floats) -> float:
        """Length of the moved path [m], strands weighted by their shares."""
        return float(sum(s * self.line(t, pose).length for t, s in zip(part.paths, part.recipient.shares, strict=True)))

    def muscle_tendon(self, part: RoutedDonor, pose: Floats) -> float:
        """Muscle-tendon length as sewn [m]: own length at rest, set stretch, and what the pose adds."""
        rest = self.native(part.donor.muscle, self.neutral).length
        return rest + self.sewn.stretch + self.length(part, pose) - self.length(part, self.fixing)

    def passive(self, muscle: str, length: float) -> float:
        """Tension of the relaxed muscle [N] at a muscle-tendon length [m]."""
        constants = MuscleTendon(*self.muscles[LEG_MUSCLES.index(muscle)])
        return float(muscle_tension(constants, 0.0, length, self.elastic)[0])

    def slack(self, muscle: str, length: float) -> float:
        """How much longer the relaxed muscle and tendon are than `length` [m]; 0 when they pull."""
        if self.passive(muscle, length) >= SLACK_N:
            return 0.0
        low, high = 0.0, LONGEST_SLACK
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if self.passive(muscle, length + middle) >= SLACK_N else (middle, high)
        return high

    def tendons(self, pose: Floats) -> tuple[Tendon, ...]:
        """Every moved tendon in a pose, the muscles relaxed."""
        return tuple(self._tendon(part, pose) for part in self.parts)

    def _tendon(self, part: RoutedDonor, pose: Floats) -> Tendon:
        muscle, to = part.donor.muscle, part.recipient
        rest_native, native = self.native(muscle, self.neutral), self.native(muscle, pose)
        free = self.line(part.to_cut, self.neutral).length
        last = landmark_index()[part.to_cut.split(">")[-1].strip()]
        cut = rest_native.until(last)
        home = cut - free
        length = self.muscle_tendon(part, pose)
        slack = self.slack(muscle, length)
        shift = self.length(part, pose) - self.length(part, self.fixing)
        usual = m(load().fit_value(TUNNEL if to.bone else WEAVE))
        return Tendon(
            laid=part,
            native=native,
            native_mark=home + native.length - rest_native.length,
            cut=native.until(last),
            free=free,
            moved=tuple(self.line(text, pose) for text in part.paths),
            mark=home + self.sewn.stretch + shift + slack,
            junction=self.line(part.reach, self.fixing).length + shift,
            overlap=usual if self.sewn.overlap is None else self.sewn.overlap,
            tension=self.passive(muscle, length),
            slack=slack,
        )


def leg_of(case: Case, choice: str, draws: int, seed: int) -> DrawnLeg:
    """The leg that is drawn for one operation, tight as a weighing with the same draws and seed makes it.

    Raises InputError for an operation that is not possible here.
    """
    moved, virtual = find_choice(case, choice), draw(case, draws, seed)
    sewn = sewn_for(case, virtual.legs, [moved])[0]
    return drawn_leg(case, sewn, virtual.legs, case.plan.tendon != "rigid", seed)


def drawn_leg(case: Case, sewn: SewnOperation, legs: Legs, elastic: bool, seed: int) -> DrawnLeg:
    """The middle leg of a patient: measured sizes where given, else their middle, and the middle of all muscles."""
    drawn = draw_sizes(case.person.sex or "male", measured_sizes(case), SIZE_DRAWS, np.random.default_rng(seed))
    sizes = middle(drawn)
    skeleton = clear_cylinders(build(sizes[None], reference_joint_axes(load())), pulling_paths())
    tension = planned_tension(case, sewn, legs, elastic, seed)
    return DrawnLeg(
        case.side, sizes, skeleton, muscles=middle(legs.muscles), sewn=sewn, elastic=elastic, tension=tension
    )
