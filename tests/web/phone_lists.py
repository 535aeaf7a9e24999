"""What a paired phone may do and read, and what is done at the computer alone; every way to change stands in one list."""

__all__ = ["ANYBODYS", "AT_THE_COMPUTER", "BENCH_WORK", "OWN", "TO_READ"]

BENCH_WORK = {
    ("POST", "/bench/start"),
    ("POST", "/bench/{load}/stop"),
    ("POST", "/bench/{load}/off"),
    ("POST", "/bench/{load}/next"),
    ("POST", "/bench/choice"),
    ("POST", "/bench/recipe"),
    ("POST", "/bench/recipe/{recipe}/off"),
    ("POST", "/bench/recipes/new"),
    ("POST", "/bench/recipes/{recipe}/adjust"),
    ("POST", "/bench/recipes/{recipe}/start"),
    ("POST", "/entry/new"),
    ("POST", "/barcode"),
    ("POST", "/books/{book}/look"),
    ("POST", "/care/count"),
    ("POST", "/books/{book}/marks/picture"),
    ("POST", "/books/{book}/marks/picture/{name}/keep"),
    ("POST", "/books/{book}/marks/picture/{name}/away"),
    ("POST", "/photographs/arriving"),
    ("PATCH", "/photographs/arriving/{name}"),
    ("POST", "/photographs/arriving/{name}/whole"),
}
"""What a phone may send; of `/entry/new` only the kinds that are bench work."""
OWN = {("POST", "/leave")}
"""It goes out by itself."""
ANYBODYS = {
    ("POST", "/sign-in"),
    ("POST", "/sign-in/{secret}"),
    ("POST", "/join/{secret}"),
    ("POST", "/handed/{secret}/held"),
}
"""What lets in whoever has the password or a code, from any browser, and nobody else."""
TO_READ = {
    *(
        "/",
        "/wall",
        "/collection",
        "/forecasts",
        "/care",
        "/climate",
        "/climate/rooms/{room}",
        "/books/{book}/ageing",
        "/ledger",
        "/ledger/{seq}",
        "/ledger/{seq}/bytes",
        "/rules",
        "/rules/{name}",
    ),
    *("/bench/recipes/new", "/bench/recipes/{recipe}", "/bench/recipes/{recipe}/adjust"),
    *("/bench", "/bench/start", "/bench/tools", "/bench/recipe", "/entry/new", "/pictures/{sha256}", "/readings"),
    *(
        "/books/{book}",
        "/books/{book}/condition",
        "/books/{book}/light",
        "/books/{book}/outlook",
        "/books/{book}/report",
        "/books/{book}/report.pdf",
    ),
    *("/wall/{room}/{wall}/plan", "/wall/{room}/{wall}/plan.pdf"),
    "/barcode",
    *("/books/{book}/look", "/books/{book}/marks", "/books/{book}/marks/picture/{name}"),
    *("/books/{book}/compare", "/books/{book}/tag", "/tags", "/photographs/arriving/{name}"),
    *("/rules/headings", "/keys", "/calendar/{secret}.ics", "/sign-in", "/sign-in/{secret}", "/join/{secret}"),
    *(
        "/handed/{secret}",
        "/handed/{secret}/compare",
        "/handed/{secret}/photographs/{sha256}",
        "/handed/{secret}/{form}",
    ),
}
"""What a phone may look at: the collection as its owner reads it, and what anybody may."""
AT_THE_COMPUTER = {
    *("/wall/{room}/{wall}/hang", "/wall/new-room", "/wall/rooms/{room}"),
    *(
        "/check",
        "/check/checkpoint",
        "/check/stamps",
        "/check/upkeep/restored",
        "/books/{book}/proof",
        "/purchase",
        "/purchase/lot",
        "/confirm",
        "/climate/new",
        "/climate/new/{file}",
    ),
    *("/settings", "/settings/key/new", "/settings/password", "/settings/phone", "/settings/phone/end"),
    *(
        "/books/{book}/light",
        "/books/{book}/outlook",
        "/books/{book}/record",
        "/books/{book}/record/seen",
        "/books/{book}/record/links/{link}/end",
    ),
    *(
        "/records/{sha256}/link",
        "/receive",
        "/hand-over",
        "/receive/{held}",
        "/ledger/{seq}/original",
        "/settings/calendar",
        "/settings/calendar/end",
    ),
    "/collection/catalogue",
    *("/barcode/keep", "/barcode/forget"),
    *("/money/rates", "/money/rates/table", "/money/rates/off"),
    *("/prospects/new", "/prospects/{prospect}/change", "/prospects/{prospect}/outlook"),
    *("/prospects/{prospect}/pass", "/prospects/{prospect}/back", "/prospects/{prospect}/off"),
    *("/prospects/{prospect}/buy", "/prospects/{prospect}/pictures/{sha256}/off"),
    *("/care/planned", "/care/planned/off", "/rotation/new", "/rotation/{rotation}/change"),
    *("/rotation/{rotation}/accept", "/rotation/{rotation}/swap", "/rotation/{rotation}/off"),
    *("/send", "/batches/{batch}/news", "/batches/{batch}/results"),
    *("/bench/tools/new", "/bench/tools/{tool}", "/bench/tools/{tool}/off"),
    *("/bench/tools/{tool}/retire", "/bench/tools/{tool}/back"),
    *("/value", "/value/sales/{sale}", "/books/{book}/value"),
    *(
        "/settings/phone/{phone}/end",
        "/settings/calendar",
        "/settings/calendar/end",
        "/settings/tokens",
        "/settings/tokens/{token}/end",
        "/sign-out",
    ),
}
"""Ways to change something that a phone has not."""
