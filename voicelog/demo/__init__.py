"""An invented farm and a month of its memos, to try the program on: two data files."""
