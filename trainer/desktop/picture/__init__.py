"""The picture of the pump: drawn off screen, turned by hand, with what is painted over it."""
