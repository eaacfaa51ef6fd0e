"""Words on the command line that begin with a dash and are no options: `note "-3 eggs"`."""

from __future__ import annotations

from typing import Any

from typer.core import TyperCommand


class WordsCommand(TyperCommand):
    """A command whose words may begin with a dash; a misspelt option is still refused."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Put the words behind the options, where a dash has no meaning."""
        takes_words = any(item.nargs == -1 for item in self.params)
        return super().parse_args(ctx, self._sorted(ctx, args) if takes_words else args)

    def _sorted(self, ctx: Any, args: list[str]) -> list[str]:
        names = {name: item for item in self.params for name in item.opts if name[:1] == "-"}
        options: list[str] = []
        words: list[str] = []
        left = iter(args)
        for word in left:
            if word == "--":
                words.extend(left)
            elif word[:1] != "-" or word == "-" or _is_said(word, {*names, *ctx.help_option_names}):
                words.append(word)
            else:
                options.append(word)
                item = names.get(word)
                if item is not None and not getattr(item, "is_flag", False):
                    options.extend(next(([value] for value in left), []))
        return [*options, "--", *words] if words else options


def _is_said(word: str, options: set[str]) -> bool:
    """Whether a word with a dash is talk: it has a space in it, or a figure behind the dash."""
    if word.partition("=")[0] in options:
        return False
    return any(mark.isspace() for mark in word) or not (word[1].isalpha() or word[1] == "-")
