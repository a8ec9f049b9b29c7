"""``pvkit sites``: the sample sites."""

from pvkit.cli.say import say
from pvkit.site.samples import sample_sites


def sites_command() -> None:
    """List the sample sites that come with the kit.

    Example: pvkit sites
    """
    for sample in sample_sites():
        say(f"{sample.name:22} {sample.title}\n{'':22} {sample.path}")
