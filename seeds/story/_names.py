"""The invented people, services and places of the story; every one of them stands in sealed fields only."""

WEIR = "Weir Street Assay"
OAKMOTH = "Oakmoth Grading Room"
"""The two services; no real one has these names."""

NIGHTJAR = "Nightjar Auctions, Westmarsh"
SALTMARSH = "Saltmarsh Paper Fair, hall 2"
KETTLE = "Kettle Lane Books"
FERRY = "Paperferry, private listing"
TANNERY = "Tannery Court Sales"
CLEARANCE = "House clearance, Eelgracht 14"
FLEA = "Flea market behind the cattle hall"

ANSGAR = "Ansgar Willowmere"
PETRONEL = "Petronel Hask"
DIRKJE = "Dirkje Oversand"
RUUD = "Ruud Fennelaar"
THEA = "Thea Quillfeather"
OBED = "Obed Marlstone"
LUDO = "Ludo Karrewind"
SUNNIVA = "Sunniva Breakwater"
CASPER = "Casper Ninehouse"
BEREND = "Uncle Berend"
JORIS = "Joris, my nephew"
WENDELINE = "Wendeline Ruis"
MAREN = "Maren Tolvstad, paper conservator"
LINDENHOUT = "Lindenhout Frames"
HEDDA = "Hedda Sluiswachter, licensed appraiser"
LIBRARY = "Reading room of the Harbour Library"
FEMKE = "Femke Dauwtrapper, photographer"

NAMES = (
    *(WEIR, OAKMOTH, NIGHTJAR, SALTMARSH, KETTLE, FERRY, TANNERY, CLEARANCE, FLEA),
    *(ANSGAR, PETRONEL, DIRKJE, RUUD, THEA, OBED, LUDO, SUNNIVA, CASPER, BEREND, JORIS, WENDELINE),
    *(MAREN, LINDENHOUT, HEDDA, LIBRARY, FEMKE),
)
"""All of them, so that a search can be made for each."""
