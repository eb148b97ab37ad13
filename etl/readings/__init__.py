"""What technicians write of their meters → readings, with every inference flagged."""

from etl.readings.value import Value, parse_value
from etl.readings.writing import format_value

__all__ = ["Value", "format_value", "parse_value"]
