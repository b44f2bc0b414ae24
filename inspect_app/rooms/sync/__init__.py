"""The JSON routes: events in, changes out, photos, versions."""
