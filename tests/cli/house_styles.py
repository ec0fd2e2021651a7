"""House styles as files, each of another hand, for the tests of marked scores."""

from pathlib import Path

STYLES = {
    "plain": "",
    "figures": '[marks]\nwhich = "figures"\nplacement = "above"\n[grips]\nbracket = "square"\n',
    "letters": '[marks]\nwhich = "figures"\n[grips]\nhand_letters = true\nseparator = "/"\n'
    'bracket = "round"\n[words]\nsimile = "come sopra"\nhold = "liegen lassen"\nrelease = "heben"\n',
    "words": '[marks]\nwhich = "figures"\nas = "words"\n[words]\nsimile = "idem"\nhold = "tenir"\n',
    "plain words": '[marks]\nas = "words"\n',
    "lyrics": '[marks]\nwhich = "first"\nas = "lyric"\n[grips]\nseparator = "/"\n',
    "few": '[marks]\nwhich = "figures"\nleast_gain = 0.3\n[words]\nsimile = ""\n',
    "all": '[marks]\nwhich = "figures"\nleast_gain = 0\n',
    "difference": '[marks]\nwhich = "figures"\nplacement = "free"\nover = "group"\nfont_size = 6.5\n'
    'distance = 2\n[grips]\nform = "difference"\nbracket = "square"\n',
    "stacked": '[marks]\nwhich = "figures"\nas = "words"\nplacement = "free"\nover = "group"\ndistance = 1\n'
    'least_gain = 0\nat_most = 50\n[grips]\nform = "stacked"\n',
    "short lyrics": '[marks]\nas = "lyric"\nover = "group"\n[grips]\nform = "difference"\n',
    "abbreviations": '[marks]\nwhich = "figures"\nas = "words"\n[grips]\nform = "difference"\n'
    '[abbreviations]\n"alt. 1" = "T L1 L3 | R2 Eb"\n"cis" = "| R1 R2 R3 Eb"\n',
    "fitting": '[marks]\nwhich = "figures"\nplacement = "free"\n'
    '[grips]\nform = "fitting"\nbracket = "square"\n',
    "every": '[marks]\nwhich = "every"\n',
}
"""Name and text of each file."""


def house_file(folder: Path, name: str) -> Path:
    """The file of a house style in a folder."""
    path = folder / f"{name}.toml"
    path.write_text(STYLES[name], encoding="utf-8")
    return path
