"""How the form of a store grew, one step a file; run by `voicelog.records.upgrade`."""
