"""The computing service: worker processes with a queue before them, and what runs in them. No page stands here."""
