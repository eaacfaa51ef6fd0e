"""How well models hear: measured on voices and people that no training had."""
