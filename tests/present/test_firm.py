"""The firm's settings and logo: read plainly, and nothing that runs or fetches gets in."""

import base64

import pytest

from pvkit.errors import InputError
from pvkit.present.firm import Firm, load_firm
from pvkit.present.logo import LARGEST_BYTES, logo_uri

# The smallest PNG there is: one grey dot.
DOT_PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg=="
)
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:x="http://www.w3.org/1999/xlink">'
UNSAFE = {
    "a script": "<script>alert(1)</script>",
    "a handler": '<rect onload="alert(1)"/>',
    "a linked picture": '<image href="http://evil.example/a.png"/>',
    "a linked picture, old form": '<image x:href="//evil.example/a.png"/>',
    "a picture within": '<image href="data:image/svg+xml;base64,AAAA"/>',
    "a page within": "<foreignObject><p>hello</p></foreignObject>",
    "an import": "<style>@import url(http://evil.example/a.css)</style>",
    "a fetched pattern": '<rect fill="url(http://evil.example/a.svg#b)"/>',
    "a fetched style": "<rect style=\"background: url( '//evil.example/a' )\"/>",
    "a use of elsewhere": '<use href="other.svg#a"/>',
    "an animated link": '<a><set attributeName="href" to="javascript:alert(1)"/></a>',
}


def _file(tmp_path, name, content):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return path


def test_a_whole_file_is_read_with_its_logo_beside_it(tmp_path):
    _file(tmp_path, "logo é.png", DOT_PNG)
    text = '[firm]\nname = "Roofs <& Sons>"\nlogo = "logo é.png"\nphone = "01"\nemail = "a@b.c"\n'
    firm = load_firm(_file(tmp_path, "our firm.toml", text))
    assert firm == Firm("Roofs <& Sons>", "01", "a@b.c", firm.logo)
    assert base64.b64decode(firm.logo.removeprefix("data:image/png;base64,")) == DOT_PNG


def test_a_name_alone_will_do(tmp_path):
    assert load_firm(_file(tmp_path, "f.toml", '[firm]\nname = "Roofs"\n')) == Firm("Roofs")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "this table is missing"),
        ("[firm]\n", "name"),
        ('[firm]\nname = "a"\nfax = "1"\n', "unknown key 'fax'"),
        ("[firm]\nname = 7\n", "found 7"),
        ('[firm]\nname = ""\n', "firm.name"),
        ('[firm]\nname = "a"\nlogo = "gone.png"\n', "no such file"),
        ('[firm]\nname = "a"\nlogo = "https://example.org/a.png"\n', "no such file"),
        ('[firm]\nname = "a"\nlogo = "f.toml"\n', "found the ending '.toml'"),
        ("[firm\n", "line 1"),
    ],
)
def test_what_is_wrong_is_said(tmp_path, text, said):
    with pytest.raises(InputError) as error:
        load_firm(_file(tmp_path, "f.toml", text))
    assert said in str(error.value)


def test_a_drawing_of_shapes_and_letters_is_taken(tmp_path):
    inside = (
        '<defs><g id="a"/></defs><use href="#a"/><rect fill="url(#a)"/><text>Roofs</text></svg>'
    )
    content = (HEAD + inside).encode()
    found = logo_uri(_file(tmp_path, "a.svg", content))
    assert base64.b64decode(found.removeprefix("data:image/svg+xml;base64,")) == content


@pytest.mark.parametrize("inside", UNSAFE.values(), ids=UNSAFE)
def test_a_drawing_that_runs_or_fetches_is_refused(tmp_path, inside):
    with pytest.raises(InputError, match="in the drawing"):
        logo_uri(_file(tmp_path, "a.svg", f"{HEAD}{inside}</svg>"))


@pytest.mark.parametrize(
    "content",
    [
        b'<!DOCTYPE svg [<!ENTITY a "b">]>' + HEAD.encode() + b"&a;</svg>",
        f"{HEAD}<script/></svg>".encode("utf-16"),
        b'<?xml-stylesheet href="http://evil.example/a.css"?>' + HEAD.encode() + b"</svg>",
        b"<html></html>",
        b"no drawing",
    ],
)
def test_a_drawing_with_a_head_of_its_own_or_none_is_refused(tmp_path, content):
    with pytest.raises(InputError):
        logo_uri(_file(tmp_path, "a.svg", content))


def test_a_picture_must_be_what_its_name_says(tmp_path):
    assert logo_uri(_file(tmp_path, "a.PNG", DOT_PNG)).startswith("data:image/png;base64,")
    for name in ("a.png", "a.jpg"):
        with pytest.raises(InputError, match="another kind of file"):
            logo_uri(_file(tmp_path, name, "<svg/>"))


def test_a_picture_of_half_a_megabyte_is_the_largest(tmp_path):
    whole = DOT_PNG + b"\0" * (LARGEST_BYTES - len(DOT_PNG))
    assert logo_uri(_file(tmp_path, "a.png", whole))
    with pytest.raises(InputError, match="bytes"):
        logo_uri(_file(tmp_path, "b.png", whole + b"\0"))


def test_a_folder_is_no_picture(tmp_path):
    (tmp_path / "a.png").mkdir()
    with pytest.raises(InputError, match="no such file"):
        logo_uri(tmp_path / "a.png")
