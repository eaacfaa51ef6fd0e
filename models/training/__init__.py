"""Training of the acoustic model: sounds and sentences in, `am/final.mdl` out."""
