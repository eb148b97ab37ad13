"""What technicians write of their meters → readings, with every inference flagged."""

from etl.readings.note import Note, NoteReading, parse_note
from etl.readings.value import Value, parse_value
from etl.readings.writing import format_value

__all__ = ["Note", "NoteReading", "Value", "format_value", "parse_note", "parse_value"]
