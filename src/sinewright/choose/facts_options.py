"""What sources say about ways other than a transfer. Numbers stand with the size of their group."""

from sinewright.choose.fact import Fact, judged, practice, recalled

BRACE_FIRST = practice("A brace is the first aid for any cause and keeps the ankle from stiffening.")
BRACE_WALK = Fact(
    "20 people with drop foot walked 337 m in six minutes without a brace, 389 m with a leaf-spring brace (medians).",
    ("ga-six-minute-walk-none-jner2023", "ga-six-minute-walk-leaf-spring-jner2023"),
)
BRACE_STROKE = Fact("After stroke a brace adds 0.24 m/s (0.06 to 0.41).", ("ga-afo-stroke-gain-csp2020",))
BRACE_LEFT = Fact(
    "After a transfer 91 % of former users were free of it (review of 37 studies).",
    ("out-stevoska2021-share-free-of-brace-after",),
)

STIMULATION_STROKE = Fact(
    "After stroke stimulation adds 0.09 m/s (0.03 to 0.14); no difference between brace and stimulation.",
    ("ga-stim-stroke-gain-csp2020",),
)
STIMULATION_EQUAL = Fact(
    "Stimulation against a brace in central lesions: equal walking speed, 7 trials with 815 people.",
    ("ga-stim-vs-afo-combined-prenton2016",),
)
STIMULATION_THERAPY = Fact(
    "As a treatment too: equal walking speed, 7 trials with 464 people.", ("ga-stim-vs-afo-therapeutic-prenton2018",)
)
NEEDS_LOWER_NEURON = recalled(
    "Stimulation needs an intact lower motor neuron: it cannot serve a complete peripheral lesion."
)

BRANCH = Fact(
    "Branch of the tibial nerve to the deep peroneal nerve: M3 in 57 %, M4 in 33 % (101 pooled); 12 months or less and "
    "a living anterior muscle needed.",
    ("nv-m3-jerome2026", "nv-m4-jerome2026", "nv-limit-jerome2026"),
)
GRAFT = Fact("Graft or suture: adequate or full recovery in 19 of 26.", ("nv-recovery-turkey",))
SOLEUS_BRANCH = Fact(
    "Soleus branch to the deep peroneal nerve: of 8, 2 reached M4, 2 M3, and 4 left the brace.",
    ("nv-m4-bao2022", "nv-m3-bao2022", "nv-brace-free-bao2022"),
)

LENGTHENING_GAIN = Fact(
    "After Achilles lengthening (15 people with diabetic neuropathy) 11 degrees more dorsiflexion, knee straight; "
    "the calf lost 31 % of its torque and was back by 8 months.",
    ("pa-tal-df-gain-salsich2005", "pa-tal-pf-torque-loss-salsich2005"),
)
LENGTHENING_ALONE = judged("Lengthening lets the heel come down and a brace fit; it lifts nothing.")

TENODESIS_BACKUP = Fact("Tenodesis or fusion when the donor is too weak.", key="leaflet-uk-c")
TETHER = Fact("A donor below grade 4 is only a passive tether.", ("gr-donor-minimum",))
TENODESIS_GAP = Fact("No series of tenodesis for drop foot was found to read.", key="no-source-found", known="judged")

FUSE_OR_CORRECT = recalled("Fixed bone: correct the bone first, or fuse.")
FUSED_AFTER_FRAME = Fact(
    "After frames for severe equinus 4 of 9 feet came to a fusion.", ("rh-equinus-fused-injury2021",)
)
FUSION_GAP = Fact("No series of fusion for flaccid drop foot was found to read.", key="no-source-found", known="judged")
FUSION_NEEDS = practice(
    "A fusion needs sound skin and blood, healed infection, grown bone, and neighbouring joints that still move."
)
FREE_MUSCLE_NEEDS = recalled(
    "A free muscle needs a living motor nerve, vessels to join, and an ankle that comes to neutral; it brings its skin."
)
FREE_MUSCLE_SERIES = Fact(
    "18 free muscles for lost parts of the leg: 1 flap lost, which led to an amputation.", ("fm-lost-lin2006",)
)
FREE_MUSCLE_DEGREES = Fact(
    "2 free muscles for the lost extensors lifted to about 0 degrees.", ("fm-df-extensor-loss-thieme",)
)
FREED = practice("A transfer that sticks is freed, one that is slack is shortened, before another muscle is spent.")
REOPERATED = Fact("5 of 17 feet were operated again for tension.", ("cx-tension-revision-jbppni2025",))
SHORTENED = Fact("1 of 20 loosened and was shortened again, with a good result.", ("cx-loosening-agarwal2020",))
