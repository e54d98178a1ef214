"""What sources say about the patient: joints, calf, skin, infection, nerve disease, health, age."""

from sinewright.choose.fact import Fact, judged, practice, recalled

TO_NEUTRAL = Fact(
    "Before the transfer the ankle must come to at least 0 degrees (57 feet, cerebral palsy).",
    ("pa-precondition-passive-df",),
)
TO_NEUTRAL_AGAIN = Fact(
    "A reference page on gastrocnemius transfer also asks for passive dorsiflexion to neutral.",
    key="reference-gastroc-transfer",
)
TEN_PREFERRED = Fact(
    "10 degrees of passive dorsiflexion with the knee straight are preferred.",
    ("pa-precondition-passive-df-preferred",),
)
RELEASED_FIRST = Fact(
    "6 feet fixed for over 8.3 years, released and transferred in one sitting: 4 ended at MRC 2.",
    ("out-dorsalrelease2009-count-mrc-2",),
)
GASTROCNEMIUS_TEST = Fact(
    "Gastrocnemius equinus: 5 degrees or less with the knee straight.", ("pa-equinus-gastrocnemius-criterion",)
)
SOLEUS_TEST = Fact(
    "Gastrocnemius-soleus equinus: 10 degrees or less with the knee straight and bent.",
    ("pa-equinus-soleus-criterion",),
)
WALKING_NEEDS = Fact(
    "Walking needs about 10 degrees of dorsiflexion and 20 of plantarflexion.", ("pa-gait-need-df", "pa-gait-need-pf")
)
LENGTHEN_FIRST = Fact(
    "Tight with the knee straight only: recession; tight in both: Achilles lengthening; before the transfer "
    "is tensioned.",
    key="amole2019",
)
LENGTHENED_IN = Fact(
    "Achilles lengthening in 60 % of cohorts of a review of 37 studies.",
    ("out-stevoska2021-share-of-cohorts-achilles",),
)
LENGTHENED_VIDEO = Fact("The calf was lengthened in 7 of 13.", ("out-aaos2021-count-achilles-lengthening",))
LENGTHENED_KOREA = Fact("The calf was lengthened in 8 of 43 feet.", ("out-jkoa1975-count-achilles-lengthening",))
LENGTHENED_ALL = Fact("The calf was lengthened in all 120 feet.", ("out-shah2009-count-achilles-lengthening",))
CALF = (
    GASTROCNEMIUS_TEST,
    SOLEUS_TEST,
    LENGTHEN_FIRST,
    LENGTHENED_IN,
    LENGTHENED_VIDEO,
    LENGTHENED_KOREA,
    LENGTHENED_ALL,
)
POSTURE_ALLOWED = Fact(
    "After the operation the foot is usually held at 5 to 10 degrees of dorsiflexion; the posture of sewing should "
    "allow it.",
    ("cp-fixing-posture",),
)
OWN_POSTURE = Fact("Without a wish the ankle is sewn 8 degrees above neutral.", ("own-fixing-ankle",))
WEAK_CALF = Fact("A weak gastrocnemius was a reason to exclude.", key="saaiq2024")

COUNT_AGAINST = Fact(
    "Against a transfer count bone deformity, an arthritic ankle, a stiff midfoot, scar round the donor, an "
    "ulcer and bad "
    "skin.",
    key="dorsal-release2009",
)
EXCLUDED = Fact("One series excluded stiff or unstable ankles, stiff toes and a scarred route.", key="saaiq2024")
SUPPLE = Fact("The joint must be supple and the skeleton stable.", key="teaching-principles", known="quoted")
SHORT_ARC = Fact(
    "An ankle whose passive arc is under half of the other leg's counts as stiff here.", ("own-arc-short",),
    known="judged",
)  # fmt: skip
NEAR_NORMAL = Fact("Midfoot and hindfoot should move nearly normally.", key="aaos-video-2021")
BONE_FIRST = recalled("Correct the bone first, or fuse.")

SOFT_BED = Fact("A tendon needs a soft bed free of scar.", key="teaching-principles", known="quoted")
FLAP_FIRST = recalled("Missing skin: a flap first, or a free muscle with its skin.")
ULCER_HEALED = recalled("The ulcer is healed and there is no infection before a transfer.")
AFTER_INFECTION = Fact("After bone infection 3 to 6 months are commonly waited.", ("nv-infection-interval",))
NO_PULSE = practice("No pulse of the foot: the circulation is judged by a specialist before any elective incision.")
ONE_PULSE = practice("A pulse that is weak or absent is looked into before flaps, long incisions and a cast.")

NUMB_SOLE = recalled("A numb sole is no bar, but footwear and cast need checks.")
FEWER_ULCERS = Fact("In leprosy a transfer lowers the risk of ulcers.", key="amole2019")
RISKS_RISE = practice("Smoking and diabetes raise the risks of the operation; leaflets for patients say so.")
THINNER = practice("A blood-thinning drug is planned for with whoever prescribed it.")

HEREDITARY = Fact("In hereditary cavovarus feet tibialis posterior was moved (23 feet).", ("out-dreher2014-feet",))
HEREDITARY_PUSH = Fact(
    "There push-off fell; dorsiflexion in swing rose, as an active transfer.", ("out-dreher2014-direction-gait",)
)
NO_ALGORITHM = Fact("There is no tested plan of treatment for gait in this disease.", key="nonnekes2021")
PROGRESSES = practice("The disease goes on: a donor that is strong today may weaken.")
CP_BY_PATTERN = Fact(
    "Cerebral palsy: good or excellent in 27 of 30 with hemiplegia, 12 of 16 with diplegia or paraplegia, 2 of 11 with "
    "quadriplegia.",
    (
        "out-root1987-count-good-excellent-hemiplegia",
        "out-root1987-count-good-excellent-diplegia",
        "out-root1987-count-good-excellent-quadriplegia",
    ),
)
CENTRAL_EXCLUDED = Fact("Causes in the disc and the brain were excluded from one series.", key="saaiq2024")
STROKE_TOO_MIXED = Fact("Studies after stroke were too mixed to pool.", key="fneur2022-1042667")
OVER_CORRECTED = Fact(
    "Over-correction is warned of after the whole tibialis posterior is moved to the front in spasticity.",
    key="cp-textbook-extract",
    known="quoted",
)
SPLIT_SAFE = Fact(
    "Split tibialis posterior in cerebral palsy: no calcaneus foot, 0 of 37.", ("cx-calcaneus-split1985",)
)
FLEXOR_CALCANEUS = Fact(
    "Great-toe flexor moved to the front in cerebral palsy: 3 of 10 became calcaneus feet.", ("cx-calcaneus-fhl2020",)
)
FLEXORS_SPASTIC = Fact(
    "56 spastic feet with the toe flexors moved to the front: no brace needed, correction kept.",
    ("out-fdlfhl1980-direction-result",),
)

YOUNGER = Fact(
    "Results tended to be better in men under 30 with common peroneal lesions (12 patients).",
    ("out-yeap2001io-direction-age-sex",),
)
BELOW_FORTY = Fact(
    "8 of 11 results were good or excellent, all below 40 years.", ("out-chaurasia2019-count-carayon-excellent-good",)
)
NERVE_NO_AGE = Fact("For nerve repair age had no effect (1577 repairs).", ("nv-m4-overall-george2014",))

RECESSION_REACHES = Fact(
    "A recession brings the limit with the knee straight to where it was with the knee bent: 23.2 degrees after it "
    "against 22.8 before (20 patients).",
    ("calf-recession-after-straight-pinney2002", "calf-recession-before-bent-pinney2002"),
)
LENGTHENING_COSTS = Fact(
    "After Achilles lengthening the calf lost 31 % of its torque at first (15 people with diabetic neuropathy).",
    ("pa-tal-pf-torque-loss-salsich2005",),
)
CALCANEUS = practice(
    "A calf that is lengthened too far or is weak lets the foot go up and the heel take all the load: a calcaneus foot."
)
HEEL_ULCER = practice("Without feeling such a heel ulcerates: lengthen less, check on the table, no early load.")
TOES_TOGETHER = practice("Flexible claws are corrected in the same sitting; fixed ones need bone or joint work.")
ULCER_AGAIN = practice("Where an ulcer has healed the skin opens again under a cast or a new shoe that nobody checks.")
ONE_LEG = practice("A patient who stands on this leg alone cannot be kept off it: plan help, cast and load first.")
RUNNING = Fact(
    "A transfer gives about 30 % of the torque of the normal side (12 patients): running is not promised.",
    ("tq-df-share-yeap2001",),
)
SLAP_STAYS = judged("Letting the foot down at speed needs far more than a transfer gives: the forefoot slaps.")
