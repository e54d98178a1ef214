"""Questions about the person and the leg: sizes, standing height, body mass."""

from collections.abc import Iterator

from sinewright.anatomy.sizes import READING_ERROR, reading_error
from sinewright.case.listing import entry
from sinewright.choose.asking_question import Examined, Question
from sinewright.doubt.proposal import CASE_SIZES
from sinewright.reference import load
from sinewright.solve.passive_torque import WEIGHT
from sinewright.units import GRAVITY

MASS_ERROR = "own-ask-body-mass-error"
TITLES = {
    "foot_length": "Foot length",
    "malleolus_height": "Height of the outer malleolus",
    "dorsum_height": "Height of the top of the foot",
    "foot_breadth": "Breadth of the foot",
    "malleolar_breadth": "Breadth across both malleoli",
    "shank_length": "Length of the shank",
    "stature": "Standing height",
}
FIELDS = {name: f"leg.{field}" for name, field in CASE_SIZES.items()} | {"stature": "person.height_cm"}


def questions_of_body(examined: Examined) -> Iterator[Question]:
    """Every size that was not measured, and the body mass; the weight of the foot hangs on it."""
    for name, title in TITLES.items():
        if entry(examined.case, FIELDS[name]) is None:
            truth = examined.virtual.sizes[name]
            read = examined.off_by(title, truth, reading_error())
            how = f"{title} by {'height rod' if name == 'stature' else 'tape or calliper'}"
            yield Question(title, how, truth, read, field=FIELDS[name], rows=(READING_ERROR,))
    if examined.case.person.mass_kg is None:
        word = "women" if examined.case.person.sex == "female" else "men"
        share = load().fit_value(f"anth-foot-mass-fraction-{word}-deleva1996")
        mass = examined.legs.passive[:, WEIGHT] / (GRAVITY * share)
        read = examined.off_by("Body mass", mass, load().fit_value(MASS_ERROR))
        yield Question("Body mass", "Body mass on a scale", mass, read, field="person.mass_kg", rows=(MASS_ERROR,))
