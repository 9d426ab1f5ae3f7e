"""Families of pumps: one module each, joined from systems."""
