"""What a question sets in motion, and what is read off a pose: activations, offsets, lifting moment, junction tension.

Rest: nobody contracts. Lift: the donor and what is left of the lifters contract fully, calf relaxed. Push-down: the
calf contracts fully, the transfer acts as a tether. Stimulated: the donor alone contracts.
"""

import math

from sinewright.anatomy.path import set_pose
from sinewright.arrays import Floats
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import muscle_of
from sinewright.solve.actuators import TAKEN, Actuators, effort_tension, muscle_tension, path_of
from sinewright.solve.leg import Body
from sinewright.solve.sewing import Donors
from sinewright.transfer.plans import NATIVE

REST, LIFT, PUSH, STIMULATED = range(4)
LAST_LIFTER, FIRST_CALF = 4, 9  # the lifters are the muscles before the first, the calf those from the second on


@compiled
def ask(question: int, gain: float, capacity: Floats, donors: Donors, actuators: Actuators) -> None:
    """Set activations and offsets for a question; in lift the toes first take up their part.

    ``gain`` (0 to 1) is the share of its own activation that a donor gives, ``capacity`` (12,) what the others can.
    """
    for i in range(NATIVE):
        works = (question == LIFT and i < LAST_LIFTER) or (question == PUSH and i >= FIRST_CALF)
        actuators[i].activation = capacity[i] if works else 0.0
    donor_works = question in (LIFT, STIMULATED)
    for p in range(len(actuators) - NATIVE):
        actuator, donor = actuators[NATIVE + p], donors[p]
        actuator.activation = donor.activation * gain if donor_works else 0.0
        actuator.offset = donor.offset - (donor.toe_take_up if donor_works else 0.0)


@compiled
def lifting_moment(actuators: Actuators, body: Body, pose: Floats) -> float:
    """Moment about the ankle [N.m, + lifts] that effort adds in a pose, knee straight: what a dynamometer reads."""
    total = 0.0
    for i in range(len(actuators)):
        actuator = actuators[i]
        if actuator.counting == TAKEN or actuator.activation == 0.0:
            continue
        length, arm, _ = path_of(actuator, 0.0, body, pose)
        total += effort_tension(actuator, actuator.activation, length, body.elastic) * arm
    return total


@compiled
def junction_tension(ankle: float, subtalar: float, actuators: Actuators, body: Body, pose: Floats) -> float:
    """Largest tension of a moved tendon [N] at joint angles [rad], knee straight; NaN where one has no equilibrium."""
    set_pose(body.joint, ankle, subtalar, pose)
    most = 0.0
    for i in range(NATIVE, len(actuators)):
        actuator = actuators[i]
        length, _, _ = path_of(actuator, 0.0, body, pose)
        force, _ = muscle_tension(muscle_of(actuator.muscle), actuator.activation, length, body.elastic)
        if math.isnan(force):
            return force
        most = max(most, force)
    return most
