"""Words, numbers, quantities and times in a text: what is said, and where in it."""
