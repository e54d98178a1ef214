"""Frames, joints, tendon paths and their scaling to a patient."""
