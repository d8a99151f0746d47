"""One SELECT per file: sql/<schema>/<relation>.sql is the view <schema>.<relation>."""
