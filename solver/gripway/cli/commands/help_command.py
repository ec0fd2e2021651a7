"""`gripway help [TOPIC]`: the manual."""

import click

from gripway.cli.options.heads import Headed
from gripway.cli.options.together import names_from
from gripway.cli.output import write_out
from gripway.cli.text.manual_text import manual_text, topic_list
from gripway.tasks.reference import manual_topic, manual_topics

EPILOG = """
\b
Examples:
  gripway help                 all topics, with an example each
  gripway help limits          one topic
  gripway help finger | less   page by page
"""


@click.command(cls=Headed, epilog=EPILOG)
@click.argument(
    "topic", required=False, shell_complete=names_from(lambda: [topic.name for topic in manual_topics()])
)
def help(topic: str | None) -> None:
    """Print the manual's text on a TOPIC, or list the topics."""
    if topic is None:
        write_out(topic_list(manual_topics()), None)
    else:
        write_out(manual_text(manual_topic(topic).text), None)
