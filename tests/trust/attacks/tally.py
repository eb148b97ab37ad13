"""What an attack counts: how often it tried, and what it broke."""

from dataclasses import dataclass, field


@dataclass
class Tally:
    """The tries of one attack; `broken` names each promise that did not hold."""

    tries: int = 0
    broken: list[str] = field(default_factory=list)

    def must(self, holds: bool, what: object) -> None:
        """Count a try; note what broke when it does not hold."""
        self.tries += 1
        if not holds:
            self.broken.append(str(what)[:300])
