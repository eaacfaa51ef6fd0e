from voicelog.records import Wanted
from voicelog.records.asking import birds_named, slot_texts


def test_what_the_records_name_each_once_newest_first(store, say, at, draft):
    say(at(3), draft(birds=("Juno", "Wren"), sign="Limping", count=2))
    say(at(4), draft(when=at(4), birds=("Pip",), sign="mites"))
    say(at(5), draft(when=at(5), birds=("juno",), sign="limping"))
    assert slot_texts(store, Wanted(), "sign") == ("limping", "mites")
    assert slot_texts(store, Wanted(), "count") == ()
    assert birds_named(store, Wanted()) == ("juno", "pip", "wren")
    assert birds_named(store, Wanted(when_to=at(5), as_of=at(3))) == ("juno", "wren")
