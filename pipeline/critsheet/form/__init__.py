"""A sheet as a plain-text checklist to correct in any editor: writing it, reading it back, taking the corrections in.

`guide` says what may be written; `writing` and `reading` are each other's opposite; `taking` turns what was typed
into calls of `critsheet.corrections`.
"""
