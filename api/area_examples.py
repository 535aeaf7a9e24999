"""Examples of each area of the service, put together."""

from typing import Any

from api.barcode_answers import BARCODE_ANSWERS, BARCODE_REQUESTS
from api.bench_example import BENCH_ANSWERS, BENCH_REQUESTS
from api.book_outlook_example import BOOK_OUTLOOK_ANSWERS
from api.care_example import CARE_ANSWERS, CARE_REQUESTS
from api.climate_example import CLIMATE_ANSWERS, CLIMATE_REQUESTS
from api.cost_example import COST_ANSWERS, COST_REQUESTS
from api.import_example import IMPORT_ANSWERS, IMPORT_REQUESTS
from api.light_example import LIGHT_ANSWERS, LIGHT_REQUESTS
from api.market_example import MARKET_ANSWERS, MARKET_REQUESTS
from api.outlook_example import OUTLOOK_ANSWERS
from api.place_example import PLACE_ANSWERS, PLACE_REQUESTS
from api.prospect_example import PROSPECT_ANSWERS, PROSPECT_REQUESTS
from api.recipe_example import RECIPE_ANSWERS, RECIPE_REQUESTS
from api.record_examples import RECORD_ANSWERS, RECORD_REQUESTS
from api.routes.alignment import EXAMPLE as ALIGNMENT
from api.routes.catalogues import CATALOGUE_ANSWERS, CATALOGUE_REQUESTS
from api.routes.exports import EXPORT_ANSWERS, EXPORT_REQUESTS
from api.routes.find import FIND_ANSWER
from api.routes.stamps import ANSWER_EXAMPLES, BODY_EXAMPLES
from api.run_example import RUN_ANSWERS, RUN_REQUESTS
from api.worth_example import WORTH_ANSWERS

__all__ = ["AREA_ANSWERS", "AREA_REQUESTS"]

AREA_REQUESTS: dict[str, dict[str, dict[str, Any]]] = {
    **BENCH_REQUESTS,
    **MARKET_REQUESTS,
    **CARE_REQUESTS,
    **PROSPECT_REQUESTS,
    **COST_REQUESTS,
    **RECIPE_REQUESTS,
    **PLACE_REQUESTS,
    **BARCODE_REQUESTS,
    **RECORD_REQUESTS,
    **CLIMATE_REQUESTS,
    **BODY_EXAMPLES,
    **LIGHT_REQUESTS,
    **RUN_REQUESTS,
    **IMPORT_REQUESTS,
    **EXPORT_REQUESTS,
    **CATALOGUE_REQUESTS,
}
"""Operation -> name -> an example of its body."""

AREA_ANSWERS: dict[str, Any] = {
    **COST_ANSWERS,
    **RECORD_ANSWERS,
    **ANSWER_EXAMPLES,
    **WORTH_ANSWERS,
    **BENCH_ANSWERS,
    **LIGHT_ANSWERS,
    **OUTLOOK_ANSWERS,
    **BOOK_OUTLOOK_ANSWERS,
    **MARKET_ANSWERS,
    **CARE_ANSWERS,
    **PROSPECT_ANSWERS,
    **CLIMATE_ANSWERS,
    **RECIPE_ANSWERS,
    **PLACE_ANSWERS,
    **BARCODE_ANSWERS,
    **RUN_ANSWERS,
    **IMPORT_ANSWERS,
    **EXPORT_ANSWERS,
    **CATALOGUE_ANSWERS,
    "find_books": FIND_ANSWER,
    "line_up_photographs": ALIGNMENT,
}
"""Operation -> an example of its answer."""
