"""From a passage to MusicXML."""
