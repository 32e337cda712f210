"""One file a set: the published data, or a generator, as planning jobs."""
