"""How a thing is known, and how a published claim came out."""

KNOWN_WORDS = {
    "read": "read in the source",
    "quoted": "quoted by another paper",
    "recalled": "textbook value, no source checked",
    "derived": "derived",
    "judged": "our judgement",
    "practice": "common practice",
}

# In the order of printing: what a reader must see first stands first.
OUTCOMES = ("outside", "cannot be checked", "within published spread", "reproduced")
