"""Forms in which questions are answered in the window: any kind of question is asked in these."""
