"""The commands: they read, ask the rooms below, and print. No arithmetic beyond formatting lives here."""
