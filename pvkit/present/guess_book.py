"""A trainee's guesses, kept in a file so that a lesson goes on where it stopped."""

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path

from pvkit.errors import Fault, InputError
from pvkit.present.files import write_text
from pvkit.site.toml_file import text_of

_CLOSE_POINTS = 1.0


@dataclass(frozen=True, slots=True)
class Guess:
    """One guess beside its answer, both in per cent of what was left before the step."""

    step: str
    guess_percent: float
    answer_percent: float

    @property
    def off_points(self) -> float:
        """How far off the guess was, in percentage points."""
        return abs(self.guess_percent - self.answer_percent)

    def say(self) -> str:
        """Say how good it was.

        Examples
        --------
        >>> Guess("dirt", -2.0, -1.5).say()
        'Close: 0.5 points off.'
        """
        if (self.guess_percent > 0) != (
            self.answer_percent > 0
        ) and self.off_points > _CLOSE_POINTS:
            return f"It goes the other way: {self.off_points:.1f} points off."
        word = "Close" if self.off_points <= _CLOSE_POINTS else "Not yet"
        return f"{word}: {self.off_points:.1f} points off."


@dataclass
class GuessBook:
    """The guesses of one trainee on one site.

    Parameters
    ----------
    path : the file they are kept in; None keeps them in memory alone
    guesses : the guesses so far, by step
    exercises : exercise to whether its answer was right
    """

    path: Path | None = None
    guesses: dict[str, Guess] = field(default_factory=dict)
    exercises: dict[str, bool] = field(default_factory=dict)

    @classmethod
    def open(cls, path: Path) -> "GuessBook":
        """Read a book, or begin one where there is none yet.

        Raises
        ------
        InputError
            If the file is no guess book.
        """
        if not path.exists():
            return cls(path)
        try:
            kept = json.loads(text_of(path, "book of guesses"))
            guesses = {step: Guess(step, **entry) for step, entry in kept["guesses"].items()}
            exercises = {str(name): bool(right) for name, right in kept["exercises"].items()}
        except (OSError, ValueError, TypeError, KeyError, AttributeError) as error:
            fault = Fault(
                str(path),
                "it is no book of guesses",
                "a file that this workbook wrote",
                "name another file, or delete it to begin anew",
            )
            raise InputError(fault) from error
        return cls(path, guesses, exercises)

    def guess(self, guess: Guess) -> None:
        """Enter a guess; the first for a step stays."""
        self.guesses.setdefault(guess.step, guess)
        self._keep()

    def mark(self, exercise: str, *, right: bool) -> None:
        """Enter whether an exercise's answer was right; once right stays right."""
        self.exercises[exercise] = right or self.exercises.get(exercise, False)
        self._keep()

    def begin_again(self) -> None:
        """Take all guesses and marks out."""
        self.guesses.clear()
        self.exercises.clear()
        self._keep()

    def _keep(self) -> None:
        if self.path is None:
            return
        guesses = {
            step: {key: value for key, value in asdict(guess).items() if key != "step"}
            for step, guess in self.guesses.items()
        }
        kept = {"guesses": guesses, "exercises": self.exercises}
        write_text(self.path, json.dumps(kept, indent=2) + "\n")
