"""The walk: zones looked at, markers dropped, judged and described."""
