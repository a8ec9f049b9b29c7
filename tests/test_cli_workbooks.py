"""`pvkit workbooks`: every workbook copied once, nobody's changes written over."""

from typer.testing import CliRunner

from pvkit.cli import app
from pvkit.present.workbook_files import workbook_files


def test_every_workbook_is_copied_and_one_that_is_there_is_left_alone(tmp_path):
    folder = tmp_path / "my workbooks é"
    folder.mkdir()
    first = folder / workbook_files()[0].name
    first.write_text("mine", encoding="utf-8")
    done = CliRunner().invoke(app, ["workbooks", str(folder)])
    assert done.exit_code == 0, done.output
    assert first.read_text(encoding="utf-8") == "mine"
    for file in workbook_files()[1:]:
        assert (folder / file.name).read_bytes() == file.read_bytes()


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    done = CliRunner().invoke(app, ["workbooks", str(tmp_path / "file" / "below")])
    assert done.exit_code != 0
    assert "cannot be written" in str(done.exception)
