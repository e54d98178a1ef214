"""What a junction carries against what it stands as it heals: stages that a clinician releases, never a date alone."""
