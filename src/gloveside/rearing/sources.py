"""Where every figure of this room comes from: one short citation for each, with its grade and how it was read.

Grade: A paper, regulator or law; B university, government or official handbook; C association or trade magazine;
`-` no published source. Mark: `seen` (read in the source, often its abstract), `memory` (looked for, not read again),
`calc` (arithmetic from seen figures), `practice` (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Grade = Literal["A", "B", "C", "-"]
Mark = Literal["seen", "memory", "calc", "practice"]


@dataclass(frozen=True, slots=True)
class Source:
    """A citation. cite: short form shown to people; full: where to find it."""

    cite: str
    full: str
    grade: Grade
    mark: Mark

    def __str__(self) -> str:
        return self.cite


BUCHLER_2013 = Source(
    "Büchler et al. 2013",
    "Büchler et al. 2013, Standard methods for rearing and selection of Apis mellifera queens, "
    "J. Apic. Res. 52(1), sections 2.1.2, 2.1.4, 2.1.6, 2.1.7, 3.3.7.1",
    "A",
    "seen",
)
MUSSEN_1987 = Source("Mussen et al. 1987", "Mussen et al. 1987, Beekeeping in California, UC ANR", "B", "seen")
CORNELL_925 = Source(
    "Cornell fact sheet 925",
    "Morse, Cornell Cooperative Extension, AFB fact sheet 925.00 (rev. 1996)",
    "B",
    "seen",
)
COLLISON = Source("Collison, Bee Culture", "Collison, A Closer Look: Bee Development, Bee Culture", "C", "seen")
COLOSS_BROOD = Source("COLOSS BEEBOOK 4.6.1", "COLOSS BEEBOOK, miscellaneous methods 4.6.1", "A", "seen")
COLOSS_MATING = Source("COLOSS BEEBOOK 13.2", "COLOSS BEEBOOK, behavioural studies 13.2", "A", "seen")
CHUDA_2015 = Source(
    "Chuda-Mickiewicz 2015",
    "Chuda-Mickiewicz & Samborski 2015, Acta Sci. Pol. Zootechnica 14(4):25-32",
    "A",
    "seen",
)
MARWAHA_2023 = Source("Marwaha 2023", "Marwaha 2023, chapter in The Polyandrous Queen Honey Bee (Bentham)", "A", "seen")
NEMNBA = Source("nemnba.org life cycle", "nemnba.org, association page on the life cycle", "C", "seen")
CUSHMAN = Source("Cushman timesheet", "dave-cushman.net, grafting timesheet and cell finishing pages", "C", "seen")
MONTY_2014 = Source(
    "Montgomeryshire BKA 2014",
    "Montgomeryshire Beekeepers (montybees.org.uk) 2014, slide-board notes",
    "C",
    "seen",
)
GORMANSTON_2017 = Source(
    "Gormanston talk 2017", "Newenham, talk on the slide board, Gormanston 2017 (long version)", "C", "seen"
)
MANGUM_2019 = Source("Mangum 2019", "Mangum 2019, American Bee Journal (fragile cells)", "C", "seen")
WANG_2016 = Source("Wang et al. 2016", "Wang et al. 2016, PLoS ONE 11(5):e0154547", "A", "seen")
HEIDINGER_2014 = Source("Heidinger et al. 2014", "Heidinger et al. 2014, Insects 5:513-527", "A", "seen")
NSW_828 = Source("NSW Primefact 828", "Johnstone 2008, NSW DPI Primefact 828", "B", "seen")
CONNOR = Source("Connor, Bee Culture", "Connor, Colony Development Part I, Bee Culture", "C", "seen")
PEREZ_SATO_2006 = Source(
    "Pérez-Sato 2006",
    "Pérez-Sato & Ratnieks 2006, Apidologie 37:571-576, doi 10.1051/apido:2006036",
    "A",
    "seen",
)
RHODES_2003 = Source(
    "Rhodes & Somerville 2003", "Rhodes & Somerville 2003, RIRDC Australia (read second-hand)", "A", "seen"
)
METZ_2019 = Source("Metz & Tarpy 2019", "Metz & Tarpy 2019, Insects 10:11", "A", "seen")
KV_DRONES = Source("KV Beekeeping", "kvbeekeeping.com, drone maturity about two weeks", "C", "seen")
FELL_MORSE_1984 = Source(
    "Fell & Morse 1984", "Fell & Morse 1984, Insectes Sociaux 31 (abstract; authors from memory)", "A", "seen"
)
PENN_STATE = Source("Penn State 2020", "Penn State, Cell Builder Basics, 2020", "B", "seen")
ABD_2011 = Source("Abd Al-Fattah 2011", "Abd Al-Fattah et al. 2011, J. Apic. Sci. 55(2):31 ff.", "A", "seen")
HONEY_FARMERS = Source(
    "J. Agric. Sci. records",
    "Analysis of honey farmers' records of requeening, J. Agric. Sci., Cambridge (online 2009, original c. 1960)",
    "A",
    "seen",
)
VMD_SPC = Source("UK VMD SPC", "UK VMD summary of product characteristics AN 01519/2014", "A", "seen")
BUCHLER_2020 = Source(
    "Büchler et al. 2020", "Büchler et al. 2020, Summer brood interruption, J. Apic. Res.", "A", "seen"
)
USDA_TUCSON = Source("USDA-ARS Tucson", "USDA-ARS Carl Hayden advice, quoted by gilroybeekeepers.org", "B", "seen")
ONTARIO = Source("Ontario advice", "OMAFRA: about 1 % in May, 2-3 % in August and September", "B", "memory")
HBHC = Source(
    "HBHC varroa guide",
    "Honey Bee Health Coalition, Tools for Varroa Management; check the edition",
    "B",
    "memory",
)
PNW = Source("PNW handbook", "PNW Handbooks, Oregon State University: wash of half a cup of bees", "B", "seen")
SIMPSON_1969 = Source("Simpson 1969", "Simpson 1969, J. Apic. Res. 8:3-8", "A", "seen")
KAUFFELD_1975 = Source("Kauffeld 1975", "Kauffeld 1975, cited in Burgett & Burikam 1985", "A", "seen")
BURGETT_1985 = Source("Burgett & Burikam 1985", "Burgett & Burikam 1985, J. Econ. Entomol. 78:1154-1156", "A", "memory")
BETTS_1938 = Source("Betts 1938", "Betts 1938, Bee World p. 106-107", "A", "seen")
BVL_OXALIC = Source(
    "BVL 3.5 % text", "German standard authorisation, oxalic acid dihydrate solution 3.5 %", "A", "seen"
)
BURGHBEES = Source("Burgh Bees", "burghbees.com, syrup by weight and volume", "C", "seen")
MARKING = Source("associations", "launcestonbeekeepers.org.uk, beespoke.info: marking colours", "C", "seen")
ARITHMETIC = Source("arithmetic", "arithmetic from the figures of this room", "-", "calc")
PRACTICE = Source("common practice", "common practice, no source", "-", "practice")
MEMORY = Source("from memory", "from memory, no source read", "-", "memory")


def cite(*sources: Source) -> str:
    """Short citations of several sources, in order, separated by semicolons."""
    return "; ".join(s.cite for s in sources)
