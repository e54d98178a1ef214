"""Virtual legs: draws of one patient's anatomy, strength, stiffness, losses and surgery."""
