"""Total moment about both axes and its stiffness, for a list of pulls.

A pull is a muscle acting through one to three paths with fixed shares of its tension:

    L = sum share_i L_i(q) + offset - knee arm * knee,   r = sum share_i r_i(q),   M = F(L) r

Fixed shares and virtual work give exactly this L. Three ways of counting (``WHOLE``, ``EFFORT``, ``TAKEN``): a moved
muscle counts whole; a muscle left in place counts only what its effort adds, since its passive part is inside the
measured passive joint; a muscle taken away loses its passive part there.
"""

from sinewright.anatomy.path import length_and_moment_arms, set_pose
from sinewright.arrays import Floats, Ints
from sinewright.compiled import compiled
from sinewright.muscle.equilibrium import elastic_force_and_stiffness, rigid_force_and_stiffness
from sinewright.solve.leg import Body
from sinewright.solve.passive_torque import passive_joints, weight_moment

WHOLE, EFFORT, TAKEN = 0, 1, 2
# floats of a pull: full force, optimum fibre, tendon slack, pennation, series strain, passive rate, passive strain
F0, FIBRE, SLACK, PENNATION, STRAIN, PASSIVE_RATE, PASSIVE_STRAIN = range(7)
OFFSET, EFFORT_LEVEL, KNEE_MOMENT_ARM, SHARE = 7, 8, 9, 10
PULL_SIZE = 13
# whole numbers of a pull: way of counting, number of paths, first and last step of each
COUNTING, PATHS, ENDS = 0, 1, 2
PULL_WORDS = 8
STEP = 1e-6  # rad, for the change of arms only


@compiled
def tension(pull: Floats, counting: int, length: float, elastic: bool) -> tuple[float, float]:
    """Tension that this pull adds [N] and its slope with length [N/m]."""
    force = slope = 0.0
    if counting != TAKEN:
        f, k = one_tension(pull, pull[EFFORT_LEVEL], length, elastic)
        force, slope = f, k
    if counting != WHOLE:
        f, k = one_tension(pull, 0.0, length, elastic)
        force, slope = force - f, slope - k
    return force, slope


@compiled
def one_tension(pull: Floats, effort: float, length: float, elastic: bool) -> tuple[float, float]:
    """Tension [N] and slope [N/m] of the muscle of a pull at a length [m] and effort."""
    if elastic:
        force, _, _, _, slope = elastic_force_and_stiffness(
            length, pull[SLACK], effort, pull[F0], pull[FIBRE], pull[PENNATION], pull[STRAIN],
            pull[PASSIVE_RATE], pull[PASSIVE_STRAIN],
        )  # fmt: skip
        return force, slope
    force, _, slope = rigid_force_and_stiffness(
        length, pull[SLACK], effort, pull[F0], pull[FIBRE], pull[PENNATION],
        pull[PASSIVE_RATE], pull[PASSIVE_STRAIN],
    )  # fmt: skip
    return force, slope


@compiled
def path_of(pull: Floats, words: Ints, knee: float, body: Body, pose: Floats) -> tuple[float, float, float]:
    """Muscle-tendon length [m] and both arms [m] of a pull in a pose."""
    length, ankle, subtalar = pull[OFFSET] - pull[KNEE_MOMENT_ARM] * knee, 0.0, 0.0
    for i in range(words[PATHS]):
        share = pull[SHARE + i]
        first, last = words[ENDS + 2 * i], words[ENDS + 2 * i + 1]
        one, a, s = length_and_moment_arms(body.elements, first, last, body.points, body.cylinders, body.joint, pose)
        length += share * one
        ankle += share * a
        subtalar += share * s
    return length, ankle, subtalar


@compiled
def moments(
    ankle: float,
    subtalar: float,
    knee: float,
    down: Floats,
    pulls: Floats,
    words: Ints,
    body: Body,
    poses: Floats,
) -> tuple[float, float, float, float, float]:
    """Moments about ankle and subtalar axis [N.m] and their slopes (ankle, mixed, subtalar) [N.m/rad].

    Angles in radians; ``down`` (3) unit vector of gravity in the shank frame; ``poses`` (3, 27) is working space.
    The statics come from an energy, so the mixed slope is one number: it is averaged over both ways of taking it.
    """
    set_pose(body.joint, ankle, subtalar, poses[0])
    set_pose(body.joint, ankle + STEP, subtalar, poses[1])
    set_pose(body.joint, ankle, subtalar + STEP, poses[2])
    m_a, m_s, k_aa, k_as, k_ss = passive_joints(body.passive, ankle, subtalar, knee)
    w_a, w_s = weight_moment(body.passive, down, body.joint, poses[0])
    wa_a, wa_s = weight_moment(body.passive, down, body.joint, poses[1])
    ws_a, ws_s = weight_moment(body.passive, down, body.joint, poses[2])
    m_a, m_s = m_a + w_a, m_s + w_s
    k_aa, k_ss = k_aa + (wa_a - w_a) / STEP, k_ss + (ws_s - w_s) / STEP
    k_as += 0.5 * ((wa_s - w_s) + (ws_a - w_a)) / STEP
    for i in range(len(pulls)):
        if words[i, COUNTING] == EFFORT and pulls[i, EFFORT_LEVEL] == 0.0:
            continue
        length, r_a, r_s = path_of(pulls[i], words[i], knee, body, poses[0])
        force, stiff = tension(pulls[i], words[i, COUNTING], length, body.elastic)
        if force == 0.0 and stiff == 0.0:
            continue
        _, ra_a, ra_s = path_of(pulls[i], words[i], knee, body, poses[1])
        _, rs_a, rs_s = path_of(pulls[i], words[i], knee, body, poses[2])
        m_a, m_s = m_a + force * r_a, m_s + force * r_s
        k_aa += force * (ra_a - r_a) / STEP - stiff * r_a * r_a
        k_ss += force * (rs_s - r_s) / STEP - stiff * r_s * r_s
        k_as += 0.5 * force * ((ra_s - r_s) + (rs_a - r_a)) / STEP - stiff * r_a * r_s
    return m_a, m_s, k_aa, k_as, k_ss
