"""The trainee's guesses: kept, never lost, and a spoilt file told in plain words."""

import pytest

from pvkit import load_site
from pvkit.errors import InputError
from pvkit.present.guess_book import Guess, GuessBook
from pvkit.present.lesson_words import ASKED, WHY
from pvkit.study.lesson import questions
from pvkit.study.study import Study


def test_guesses_are_there_when_the_book_is_opened_again(tmp_path):
    path = tmp_path / "my guesses é.json"
    book = GuessBook.open(path)
    book.guess(Guess("dirt", -3.0, -1.5))
    book.mark("slip", right=True)
    again = GuessBook.open(path)
    assert again.guesses == {"dirt": Guess("dirt", -3.0, -1.5)}
    assert again.exercises == {"slip": True}


def test_the_first_guess_stays_and_once_right_stays_right():
    book = GuessBook()
    book.guess(Guess("dirt", -3.0, -1.5))
    book.guess(Guess("dirt", -1.5, -1.5))
    assert book.guesses["dirt"].guess_percent == -3.0
    book.mark("slip", right=True)
    book.mark("slip", right=False)
    assert book.exercises == {"slip": True}


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"guesses": 3}', '{"guesses": {}, "exercises": 1}']
)
def test_a_file_that_is_no_book_is_refused_and_left_alone(tmp_path, text):
    path = tmp_path / "book.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="no book of guesses"):
        GuessBook.open(path)
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize(
    ("guess", "words"), [(-1.6, "Close"), (-9.0, "Not yet"), (4.0, "the other way")]
)
def test_a_guess_is_judged_in_words(guess, words):
    assert words in Guess("dirt", guess, -1.5).say()


def test_every_step_has_its_question_and_its_reason():
    steps = {
        question.id for question in questions(Study(load_site("chimney_and_birch")).estimate())
    }
    assert steps == set(ASKED) == set(WHY)
