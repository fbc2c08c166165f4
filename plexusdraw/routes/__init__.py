"""The way of the fibres, and what a structure reaches by it."""
