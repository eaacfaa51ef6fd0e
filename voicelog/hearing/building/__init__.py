"""Vosk model folders made from words and sentences, on the user's machine, with numpy alone.

    phones          the sounds of English, their positions in a word, and how they are numbered
    lexicon_graph   all ways to pronounce all words, as one network with look-ahead
    lookahead       which words can still follow, for every state of that network
    grammar         how likely words follow each other, as a second network
    fst_files       both in the file format that the recogniser reads
    graph_folder    the files of a model folder

The recogniser joins the two networks while it listens, so a changed vocabulary or grammar never
needs them multiplied out. This package is imported only when something is built.
"""
