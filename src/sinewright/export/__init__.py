"""What leaves the program on paper: leg profile, ladder and ruler as pictures, and the pages.

Nothing is calculated here beyond placing what the model says. A left leg is mirrored in this room and nowhere deeper.
"""
