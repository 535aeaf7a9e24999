"""A collection of invented books, told through the use cases with a fixed clock, so that its root is a golden value."""
