"""A sentence with numbers in it whose units are chosen only where it is shown."""

from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Quantity:
    """A number [SI] and its kind (`distance`, `speed`, `force`, `angle` ...)."""

    value: float
    kind: str


Formatter = Callable[[Quantity], str]


@dataclass(frozen=True)
class Sentence:
    """Text with `{name}` where a quantity goes."""

    template: str
    quantities: dict[str, Quantity] = field(default_factory=dict)

    def text(self, formatter: Formatter) -> str:
        """The sentence with every quantity written by `formatter`."""
        return self.template.format(**{k: formatter(q) for k, q in self.quantities.items()})

    def then(self, template: str, **quantities: tuple[float, str]) -> "Sentence":
        """One more sentence after it; names of quantities must differ."""
        more = {k: Quantity(*pair) for k, pair in quantities.items()}
        return Sentence(f"{self.template} {template}", self.quantities | more)


def sentence(template: str, **quantities: tuple[float, str]) -> Sentence:
    """Shorthand: `sentence("after {d}", d=(12.0, "distance"))`."""
    return Sentence(template, {k: Quantity(*pair) for k, pair in quantities.items()})
