"""The words everyone shares. Loads no solid kernel, no window, no picture library."""
