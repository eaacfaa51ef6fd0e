"""The dictionary and the spelling model: CMUdict in, the files of `language/` out."""
