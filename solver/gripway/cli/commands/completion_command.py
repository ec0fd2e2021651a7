"""`gripway completion SHELL`: the script that teaches a shell the options."""

import click
from click.shell_completion import get_completion_class

SHELLS = ("bash", "zsh", "fish")
EPILOG = """
\b
Examples (a line for the shell's start file):
  eval "$(gripway completion bash)"        in ~/.bashrc
  eval "$(gripway completion zsh)"         in ~/.zshrc
  gripway completion fish | source         in ~/.config/fish/config.fish
"""


@click.command(
    epilog=EPILOG,
)
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion(context: click.Context, shell: str) -> None:
    """Print the script that completes gripway's commands and options in a SHELL."""
    made_by = get_completion_class(shell)
    if made_by is None:  # pragma: no cover - click has all three
        raise click.UsageError(f"no completion for {shell}")
    root = context.find_root().command
    click.echo(made_by(root, {}, "gripway", "_GRIPWAY_COMPLETE").source())
