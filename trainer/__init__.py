"""The program with which a pump shop teaches people to strip, understand and rebuild a pump.

This file imports nothing: `python3 -m trainer` must start on a machine that has no packages yet.
"""
