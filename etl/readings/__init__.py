"""What technicians write of their meters → readings, with every inference flagged."""

from etl.readings.format import format_value
from etl.readings.notes.parse import Note, NoteReading, parse_note
from etl.readings.value import Value, parse_value

__all__ = ["Note", "NoteReading", "Value", "format_value", "parse_note", "parse_value"]
