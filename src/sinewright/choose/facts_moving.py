"""What sources say about an operation: the donor's strength, its route, its insertion and what the foot loses."""

from sinewright.choose.fact import Fact, judged, practice, recalled

DONOR_FOUR = Fact(
    "An active transfer needs a donor of grade 4 or better; below that it is only a passive tether.",
    ("gr-donor-minimum",),
)
DONOR_TETHER = Fact("A weaker tibialis posterior acts only as a tether.", key="leaflet-uk-c")
LOSES_A_GRADE = Fact("A moved muscle loses at least one grade.", key="hand-text-principles", known="quoted")
LOSES_NOTHING = Fact(
    "That rule comes from polio; moving a tendon need not weaken its muscle.", key="brand-mechanics", known="quoted"
)
HIDDEN_LESION = Fact(
    "3 common peroneal patients had also lost inversion while the rest of the tibial nerve worked: test "
    "tibialis posterior "
    "alone, every time.",
    ("cx-hidden-donor-lesion-jns2019",),
)
HIDDEN_WEAKNESS = Fact(
    "Hidden weakness of the donor explains poor results: test it alone and with a dynamometer.", ("cp-donor-selection",)
)
GRADE_HIDES = Fact("After a transfer grade 4 hid a loss of 65 to 70 % of the torque.", ("gr-loss-hidden-by-mrc4",))
FOUR_PLUS_SHARE = Fact("Grade 4+ stands for 0.5 to 0.85 of the muscle's own strength.", ("gr-prior-donor-grade-4plus",))
FAT = recalled("A donor at Goutallier 3, Mercuri 3 or worse: warn, do not forbid.")
FAT_READING = Fact(
    "Grades of fat agree only moderately between CT and MRI; the system belongs to the grade.",
    key="goutallier-corr2016",
)

ROUTE_SCARRED = Fact("A scarred route was a reason to exclude.", key="saaiq2024")
ROUND_TIBIA = Fact(
    "Round the tibia there is more gliding resistance, and the forefoot turns in (8 cadaver legs).",
    ("tc-direction-gliding-wagner2018",),
)
ROUND_WHEN = recalled("Round the tibia serves for a small window or a scarred membrane.")
UNDER_MORE = Fact(
    "Under the retinaculum gave more dorsiflexion than above it; above it the tendon stands off (8 cadaver legs).",
    ("tc-direction-retinaculum-wagner2018",),
)
OVER_MORE = Fact("The superficial path was more efficient (7 cadaver legs).", ("tc-direction-superficial-dastous2005",))
NOTHING_TO_HOLD = judged("Without a retinaculum the calculated run under it does not exist.")
GROWING = recalled("In children bone tunnels wait for bone size and spare the growth plates.")
EARLY_PULL_OUT = Fact(
    "1 of 12 screws in cadaver cuboids failed early.", ("rep-tp-screw-cuboid-early-failure-marsland2018",)
)
POOR_BONE = judged("Early motion is not shown to be safe for screws or in adults with poor bone.")

SHORT_PERONEAL_CASE = Fact(
    "1 flat foot is published, blamed on a working short peroneal without an opponent.",
    ("cx-flat-foot-case-vertullo2002",),
)
NO_FLAT_FOOT_CHO = Fact("No flat foot: 0 of 17.", ("cx-flat-foot-cho2017",))
NO_FLAT_FOOT_PECHEVA = Fact("No flat foot: 0 of 10 at 44.7 months.", ("cx-flat-foot-pecheva2018",))
NO_FLAT_FOOT_LONG = Fact("No flattening on radiographs: 0 of 31.", ("cx-flat-foot-longterm",))
NOT_LATE = Fact(
    "Painful flat foot was no late problem at a mean of 90 months (12 patients).", ("cx-flat-foot-direction-yeap",)
)
TENDS_OUT = Fact("Feet tend to turn out after the transfer (5 patients).", ("cx-eversion-tendency-cjsm2017",))
CHECK_SHORT_PERONEAL = recalled(
    "Check short peroneal and arch; if it is strong think of the long peroneal as donor, of the long toe flexor to the "
    "navicular, or of short to long peroneal."
)
ARCH = (
    SHORT_PERONEAL_CASE,
    NO_FLAT_FOOT_CHO,
    NO_FLAT_FOOT_PECHEVA,
    NO_FLAT_FOOT_LONG,
    NOT_LATE,
    TENDS_OUT,
    CHECK_SHORT_PERONEAL,
)
LOW_ARCH = judged("An arch that is already low suffers when tibialis posterior is moved.")
FIRST_RAY = recalled("Push of the first ray weakens; a dorsal bunion can follow.")
LONG_PERONEAL_SPARES = Fact("Moving the long peroneal may spare the arch.", key="aaos-text-20276")
LONG_PERONEAL_SCORE = Fact(
    "Graft patients who lost it and kept the short one: score lower by 1.92 points (537 patients).",
    ("cx-pl-aofas-saoji2023",),
)
LONG_PERONEAL_TORQUE = Fact(
    "In them evertors and invertors were weak at 6 months and level by 12 months (31 patients).",
    ("cx-pl-torque-kotian2026",),
)
SHORT_MUST_WORK = recalled("The short peroneal must work or eversion is lost.")
POLIO = Fact(
    "14 children with polio: best with the short peroneal in front and a subtalar fusion, poor with the long one.",
    ("out-faraj2005-direction-result",),
)
INNER_PERONEAL = Fact(
    "A peroneal moved to the inner side of the midline may give varus.", key="grice-paper", known="quoted"
)
THINK_OF_BALANCE = Fact(
    "Think of the balance of the foot once the donor is gone.", key="teaching-principles", known="quoted"
)
INSERTION_TURNS = Fact(
    "A medial insertion turns the foot in, a lateral one out (11 cadaver legs).", ("tc-direction-insertion-goh1995",)
)
THIRD_AXIS = Fact("A whole tendon balances at metatarsal axis 3 (10 cadaver legs).", ("tc-neutral-axis-whole-hui1998",))
VARUS_OUTWARD = recalled(
    "Common choice: lateral cuneiform; the intermediate one if there is no varus, lateral or cuboid if varus "
    "tends to return."
)
VARUS_STAYED = Fact("3 of 17 feet stayed turned in.", ("cx-varus-jbppni2025",))

SPENT = practice("A muscle that was moved once is spent: freeing and re-tensioning is another operation.")
RETENSIONED = Fact("5 of 17 feet were operated again for tension.", ("cx-tension-revision-jbppni2025",))
DONOR_RECOVERS = practice(
    "A muscle that still regains its nerve is not moved: it is weak, and the lesion may be its own."
)
DONOR_BOUND = practice("A muscle bound down by scar keeps little of its excursion, whatever its grade.")
OWN_ROOT = practice("Foot drop from a root of the spine comes mostly from the fifth lumbar root, the donors' own.")
BESIDE_BEHIND = practice(
    "Behind the inner malleolus the posterior tibial artery lies between tibialis posterior, long toe flexor and "
    "great-toe flexor."
)
BESIDE_IN_FRONT = practice("The artery in front lies on the membrane where the window is cut.")
SHOW_ARTERY = practice("The last artery of a foot is imaged before and shown at operation before the donor is freed.")
GRAFT_STICKS = practice("A tendon does not glide under split skin: a flap comes first.")
STANDS_OFF = Fact(
    "Above the retinaculum the tendon stands off under the skin (8 cadaver legs).",
    ("tc-direction-retinaculum-wagner2018",),
)
LUMPS = Fact("A lump on the instep in 4 of 13 feet.", ("cx-lump-aott2008",))
NO_PLATE = judged("Cuneiforms, cuboid and the bases of the second and third metatarsals have no growth plate.")
FOREFOOT_IN = ROUND_TIBIA
EVERTER_IN_VARUS = practice("A heel in varus needs its everters; to take one adds to the varus.")
LIFTS_THE_TOES = practice("A pull on toe extensors first lifts the toes: in a clawing foot it adds to the claw.")
TOE_GRIP = Fact(
    "Long toe flexor and great-toe flexor moved to the toe extensors: toe flexion is lost, arc of the ankle 46 degrees "
    "(15 patients).",
    ("out-movahedi2016-total-active-arc",),
)
FLEXORS_WEAK = recalled("Alone a toe flexor is weak for a flaccid drop foot.")
