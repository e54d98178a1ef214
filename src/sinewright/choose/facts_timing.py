"""What sources say about when: watching, nerve work and transfer. They disagree; none is merged with another."""

from sinewright.choose.fact import Fact, recalled

RECOVERY_AFTER_DISLOCATION = Fact(
    "After knee dislocation 43 of 247 had a common peroneal palsy; 15 of the 43 were better by 1 year and 1 later; "
    "a transfer was offered with no active dorsiflexion at 12 months.",
    (
        "nv-paresis-molund2014",
        "nv-improved-1y-molund2014",
        "nv-improved-later-molund2014",
        "nv-offer-time-molund2014",
    ),
)
WATCH = Fact("Watch for about 12 months when nothing structural is wrong.", ("nv-observe-wagner2018",))
TRANSFER_LATE = Fact(
    "Transfer once recovery has become unlikely, later than 12 months.", ("nv-transfer-after-stevoska2021",)
)
TRANSFER_FROM_SIX = Fact(
    "Teaching on knee dislocation: transfer from 6 months at the earliest.", ("nv-earliest-aaos2015",)
)
TRANSFER_EIGHTEEN = Fact(
    "For a gastrocnemius moved with its nerve: no recovery for at least 18 months.", ("nv-gastro-transfer-medscape",)
)
DO_NOT_WAIT = Fact("No meaningful improvement on the nerve study at 3 months: do not wait.", ("nv-no-wait-ho2014",))
ONE_SITTING = Fact(
    "Nerve graft with a transfer in one sitting did better than the graft alone: of 6 with the graft alone 1 reached a "
    "flicker and the other 5 did not recover.",
    ("nv-control-flicker-ferraresi2003",),
)
TIMING = (
    DO_NOT_WAIT,
    TRANSFER_FROM_SIX,
    WATCH,
    RECOVERY_AFTER_DISLOCATION,
    TRANSFER_LATE,
    TRANSFER_EIGHTEEN,
    ONE_SITTING,
)
MARKS = (
    "nv-no-wait-ho2014",
    "nv-earliest-aaos2015",
    "nv-transfer-after-stevoska2021",
    "nv-gastro-transfer-medscape",
)
"""Rows of the four times that sources name, in months."""

LEPROSY_EARLY = Fact(
    "Leprosy, one centre: transfer when unrecovered after 6 to 12 months.", ("nv-leprosy-time-amole2019",)
)
LEPROSY_LATE = Fact("Leprosy, another series: later than 12 months.", ("nv-leprosy-time-pattnaik2017",))
LEPROSY_DRUGS = Fact("Multidrug therapy completed, or at least 6 months of it.", ("nv-leprosy-drug-therapy-min",))
LEPROSY_REACTION = Fact("Free of reaction and neuritis for 6 months.", ("nv-leprosy-reaction-free",))
LEPROSY_STABLE = Fact("Palsy stable for 6 to 12 months.", ("nv-leprosy-palsy-stable",))

NERVE_BY_DELAY = Fact(
    "1577 repairs: grade M4 or better in 45 % overall, 44 % when done within 6 months and 12 % after 12 months (sizes "
    "of the last two groups were not kept); age had no effect.",
    (
        "nv-m4-overall-george2014",
        "nv-m4-done-within-6-months-george2014",
        "nv-m4-done-after-12-months-george2014",
    ),
)
NERVE_CUT_OFFS = Fact(
    "45 legs: the delay that best parted good from bad results was 9.5 months for M3 and 5.5 months for M4.",
    ("nv-cutoff-m3-pang2024", "nv-cutoff-m4-pang2024"),
)
NERVE_LIMIT = Fact("Nerve reconstruction is not useful after 12 months.", ("nv-nerve-useless-after-ho2014",))
NERVE_WINDOW = Fact("Nerve reconstruction works best within 6 to 9 months.", ("nv-best-window-seal",))
MUSCLE_CLOCK = Fact("A muscle without its nerve changes for good by 18 to 24 months.", ("nv-muscle-irreversible-seal",))
NERVE_VALUE = Fact("Nerve procedures lose value at 12 to 18 months.", ("nv-nerve-value-loss",))
LATE_DECOMPRESSION = Fact(
    "Decompression of an entrapment can still help late: 19 of 20 were stronger after a mean delay of 15.9 months.",
    ("nv-stronger-mcmaster", "nv-delay-mcmaster"),
)
NERVE_TIMING = (NERVE_BY_DELAY, NERVE_CUT_OFFS, NERVE_WINDOW, NERVE_LIMIT, LATE_DECOMPRESSION, NERVE_VALUE)
NO_LIMIT = recalled("A tendon transfer has no such limit in time.")

SECOND_STUDY = Fact(
    "A second nerve study at about 3 months: denervation without nascent units = no reinnervation.",
    ("nv-emg-repeat",),
)
LEVELLED_OFF = Fact(
    "Wait until recovery has levelled off before a tendon is moved.", key="teaching-principles", known="quoted"
)
END_TO_SIDE = Fact(
    "Where recovery may still come, the tendon is joined end to side instead of end to end.",
    key="hand-text-principles",
    known="quoted",
)
