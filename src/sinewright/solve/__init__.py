"""The questions asked of a leg: where it rests, how far it lifts, how far it can be pushed down."""
