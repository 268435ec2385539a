"""The one line to write on."""

from __future__ import annotations

from textual import events
from textual.widgets import Input


class Answer(Input):
    """An entry whose text leaves it the moment enter arrives.

    Enter is taken as a key, not as a binding: a binding is handled after the keys typed behind it have gone into the
    box, so quick typing would join two answers.
    """

    def on_key(self, event: events.Key) -> None:
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            value, self.value = self.value, ""
            self.post_message(Input.Submitted(self, value))
