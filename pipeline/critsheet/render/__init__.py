"""Writes a sheet out: one module a format. JSON is `critsheet.sheet.to_json`.

Everything said or typed by people passes through `words.plain` and then the escaping of its format.
"""
