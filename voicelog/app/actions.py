"""The actions of instructions that this program carries out, by the catalogue's names."""

WITHDRAW = "withdraw"
CONFIRM = "confirm"
SHOW_LEFT = "show_left"
SHOW_REVIEW = "show_review"
STOP = "stop"
