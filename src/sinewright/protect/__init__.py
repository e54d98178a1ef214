"""The pull on a junction against its strength as it heals: stages that a clinician releases, never a date alone."""
