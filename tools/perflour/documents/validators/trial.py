# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_trial_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'trial', 'date', 'formula', 'of', 'design', 'factors', 'bakes'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "trial" in data:
            data__trial = data["trial"]
            if not isinstance(data__trial, (str)):
                raise JsonSchemaValueException
            if isinstance(data__trial, str):
                data__trial_len = len(data__trial)
                if data__trial_len > 80:
                    raise JsonSchemaValueException
                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__trial):
                    raise JsonSchemaValueException
        if "date" in data:
            data__date = data["date"]
            if not isinstance(data__date, (str)):
                raise JsonSchemaValueException
            if isinstance(data__date, str):
                if not re.search('^([0-9]{4}-((0[13578]|1[02])-(0[1-9]|[12][0-9]|3[01])|(0[469]|11)-(0[1-9]|[12][0-9]|30)|02-(0[1-9]|1[0-9]|2[0-8]))|([0-9]{2}(0[48]|[2468][048]|[13579][26])|([02468][048]|[13579][26])00)-02-29)\\Z', data__date):
                    raise JsonSchemaValueException
        if "question" in data:
            data__question = data["question"]
            if not (isinstance(data__question, str) and 1 <= len(data__question) <= 500):
                raise JsonSchemaValueException
        if "formula" in data:
            data__formula = data["formula"]
            if not isinstance(data__formula, (str)):
                raise JsonSchemaValueException
            if isinstance(data__formula, str):
                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__formula):
                    raise JsonSchemaValueException
        if "of" in data:
            data__of = data["of"]
            if not isinstance(data__of, (str)):
                raise JsonSchemaValueException
            if isinstance(data__of, str):
                if not re.search('^[0-9a-f]{12}\\Z', data__of):
                    raise JsonSchemaValueException
        if "design" in data:
            data__design = data["design"]
            if not isinstance(data__design, (dict)):
                raise JsonSchemaValueException
            data__design_is_dict = isinstance(data__design, dict)
            if data__design_is_dict:
                data__design__missing_keys = {'kind', 'model', 'seed', 'days', 'ovens'} - data__design.keys()
                if data__design__missing_keys:
                    raise JsonSchemaValueException
                data__design_keys = set(data__design.keys())
                if "kind" in data__design_keys:
                    data__design_keys.remove("kind")
                    data__design__kind = data__design["kind"]
                    if not isinstance(data__design__kind, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__design__kind, str):
                        if not re.search('^[a-z][a-z -]{0,39}\\Z', data__design__kind):
                            raise JsonSchemaValueException
                if "model" in data__design_keys:
                    data__design_keys.remove("model")
                    data__design__model = data__design["model"]
                    if not isinstance(data__design__model, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__design__model, str):
                        if not re.search('^[a-z][a-z -]{0,39}\\Z', data__design__model):
                            raise JsonSchemaValueException
                if "seed" in data__design_keys:
                    data__design_keys.remove("seed")
                    data__design__seed = data__design["seed"]
                    if not isinstance(data__design__seed, (int)) and not (isinstance(data__design__seed, float) and data__design__seed.is_integer()) or isinstance(data__design__seed, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__design__seed, (int, float)) and not isinstance(data__design__seed, bool):
                        if data__design__seed < 0:
                            raise JsonSchemaValueException
                        if data__design__seed > 999999999:
                            raise JsonSchemaValueException
                if "replicates" in data__design_keys:
                    data__design_keys.remove("replicates")
                    data__design__replicates = data__design["replicates"]
                    if not isinstance(data__design__replicates, (int)) and not (isinstance(data__design__replicates, float) and data__design__replicates.is_integer()) or isinstance(data__design__replicates, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__design__replicates, (int, float)) and not isinstance(data__design__replicates, bool):
                        if data__design__replicates < 1:
                            raise JsonSchemaValueException
                        if data__design__replicates > 20:
                            raise JsonSchemaValueException
                if "centre" in data__design_keys:
                    data__design_keys.remove("centre")
                    data__design__centre = data__design["centre"]
                    if not isinstance(data__design__centre, (int)) and not (isinstance(data__design__centre, float) and data__design__centre.is_integer()) or isinstance(data__design__centre, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__design__centre, (int, float)) and not isinstance(data__design__centre, bool):
                        if data__design__centre < 0:
                            raise JsonSchemaValueException
                        if data__design__centre > 50:
                            raise JsonSchemaValueException
                if "days" in data__design_keys:
                    data__design_keys.remove("days")
                    data__design__days = data__design["days"]
                    if not isinstance(data__design__days, (int)) and not (isinstance(data__design__days, float) and data__design__days.is_integer()) or isinstance(data__design__days, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__design__days, (int, float)) and not isinstance(data__design__days, bool):
                        if data__design__days < 1:
                            raise JsonSchemaValueException
                        if data__design__days > 100:
                            raise JsonSchemaValueException
                if "ovens" in data__design_keys:
                    data__design_keys.remove("ovens")
                    data__design__ovens = data__design["ovens"]
                    if not isinstance(data__design__ovens, (int)) and not (isinstance(data__design__ovens, float) and data__design__ovens.is_integer()) or isinstance(data__design__ovens, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__design__ovens, (int, float)) and not isinstance(data__design__ovens, bool):
                        if data__design__ovens < 1:
                            raise JsonSchemaValueException
                        if data__design__ovens > 20:
                            raise JsonSchemaValueException
                if "per-oven" in data__design_keys:
                    data__design_keys.remove("per-oven")
                    data__design__peroven = data__design["per-oven"]
                    if not isinstance(data__design__peroven, (int)) and not (isinstance(data__design__peroven, float) and data__design__peroven.is_integer()) or isinstance(data__design__peroven, bool):
                        raise JsonSchemaValueException
                    if isinstance(data__design__peroven, (int, float)) and not isinstance(data__design__peroven, bool):
                        if data__design__peroven < 1:
                            raise JsonSchemaValueException
                        if data__design__peroven > 200:
                            raise JsonSchemaValueException
                if data__design_keys:
                    raise JsonSchemaValueException
        if "factors" in data:
            data__factors = data["factors"]
            if not isinstance(data__factors, (list, tuple)):
                raise JsonSchemaValueException
            data__factors_is_list = isinstance(data__factors, (list, tuple))
            if data__factors_is_list:
                data__factors_len = len(data__factors)
                if data__factors_len < 1:
                    raise JsonSchemaValueException
                if data__factors_len > 5:
                    raise JsonSchemaValueException
                for data__factors_x, data__factors_item in enumerate(data__factors):
                    if not isinstance(data__factors_item, (dict)):
                        raise JsonSchemaValueException
                    data__factors_item_is_dict = isinstance(data__factors_item, dict)
                    if data__factors_item_is_dict:
                        data__factors_item__missing_keys = {'factor', 'low', 'high'} - data__factors_item.keys()
                        if data__factors_item__missing_keys:
                            raise JsonSchemaValueException
                        data__factors_item_keys = set(data__factors_item.keys())
                        if "factor" in data__factors_item_keys:
                            data__factors_item_keys.remove("factor")
                            data__factors_item__factor = data__factors_item["factor"]
                            if not (isinstance(data__factors_item__factor, str) and 1 <= len(data__factors_item__factor) <= 80):
                                raise JsonSchemaValueException
                        if "ingredient" in data__factors_item_keys:
                            data__factors_item_keys.remove("ingredient")
                            data__factors_item__ingredient = data__factors_item["ingredient"]
                            if not (isinstance(data__factors_item__ingredient, str) and 1 <= len(data__factors_item__ingredient) <= 200):
                                raise JsonSchemaValueException
                        if "part" in data__factors_item_keys:
                            data__factors_item_keys.remove("part")
                            data__factors_item__part = data__factors_item["part"]
                            if not (isinstance(data__factors_item__part, str) and 1 <= len(data__factors_item__part) <= 200):
                                raise JsonSchemaValueException
                        if "ratio" in data__factors_item_keys:
                            data__factors_item_keys.remove("ratio")
                            data__factors_item__ratio = data__factors_item["ratio"]
                            if not isinstance(data__factors_item__ratio, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__factors_item__ratio, str):
                                if not re.search('^[a-z]+(-[a-z]+)*\\Z', data__factors_item__ratio):
                                    raise JsonSchemaValueException
                        if "step" in data__factors_item_keys:
                            data__factors_item_keys.remove("step")
                            data__factors_item__step = data__factors_item["step"]
                            if not isinstance(data__factors_item__step, (int)) and not (isinstance(data__factors_item__step, float) and data__factors_item__step.is_integer()) or isinstance(data__factors_item__step, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__factors_item__step, (int, float)) and not isinstance(data__factors_item__step, bool):
                                if data__factors_item__step < 1:
                                    raise JsonSchemaValueException
                                if data__factors_item__step > 2000:
                                    raise JsonSchemaValueException
                        if "field" in data__factors_item_keys:
                            data__factors_item_keys.remove("field")
                            data__factors_item__field = data__factors_item["field"]
                            if not (isinstance(data__factors_item__field, str) and data__factors_item__field == 'for' or isinstance(data__factors_item__field, str) and data__factors_item__field == 'at' or isinstance(data__factors_item__field, str) and data__factors_item__field == 'to' or isinstance(data__factors_item__field, str) and data__factors_item__field == 'core'):
                                raise JsonSchemaValueException
                        if "along" in data__factors_item_keys:
                            data__factors_item_keys.remove("along")
                            data__factors_item__along = data__factors_item["along"]
                            if not isinstance(data__factors_item__along, (list, tuple)):
                                raise JsonSchemaValueException
                            data__factors_item__along_is_list = isinstance(data__factors_item__along, (list, tuple))
                            if data__factors_item__along_is_list:
                                data__factors_item__along_len = len(data__factors_item__along)
                                if data__factors_item__along_len < 1:
                                    raise JsonSchemaValueException
                                if data__factors_item__along_len > 20:
                                    raise JsonSchemaValueException
                                for data__factors_item__along_x, data__factors_item__along_item in enumerate(data__factors_item__along):
                                    if not isinstance(data__factors_item__along_item, (int)) and not (isinstance(data__factors_item__along_item, float) and data__factors_item__along_item.is_integer()) or isinstance(data__factors_item__along_item, bool):
                                        raise JsonSchemaValueException
                                    if isinstance(data__factors_item__along_item, (int, float)) and not isinstance(data__factors_item__along_item, bool):
                                        if data__factors_item__along_item < 1:
                                            raise JsonSchemaValueException
                                        if data__factors_item__along_item > 2000:
                                            raise JsonSchemaValueException
                        if "gives-way" in data__factors_item_keys:
                            data__factors_item_keys.remove("gives-way")
                            data__factors_item__givesway = data__factors_item["gives-way"]
                            if not (isinstance(data__factors_item__givesway, str) and 1 <= len(data__factors_item__givesway) <= 200):
                                raise JsonSchemaValueException
                        if "low" in data__factors_item_keys:
                            data__factors_item_keys.remove("low")
                            data__factors_item__low = data__factors_item["low"]
                            if not (isinstance(data__factors_item__low, str) and 1 <= len(data__factors_item__low) <= 40):
                                raise JsonSchemaValueException
                        if "high" in data__factors_item_keys:
                            data__factors_item_keys.remove("high")
                            data__factors_item__high = data__factors_item["high"]
                            if not (isinstance(data__factors_item__high, str) and 1 <= len(data__factors_item__high) <= 40):
                                raise JsonSchemaValueException
                        if data__factors_item_keys:
                            raise JsonSchemaValueException
        if "holds" in data:
            data__holds = data["holds"]
            if not isinstance(data__holds, (list, tuple)):
                raise JsonSchemaValueException
            data__holds_is_list = isinstance(data__holds, (list, tuple))
            if data__holds_is_list:
                data__holds_len = len(data__holds)
                if data__holds_len < 1:
                    raise JsonSchemaValueException
                if data__holds_len > 5:
                    raise JsonSchemaValueException
                for data__holds_x, data__holds_item in enumerate(data__holds):
                    if not isinstance(data__holds_item, (dict)):
                        raise JsonSchemaValueException
                    data__holds_item_is_dict = isinstance(data__holds_item, dict)
                    if data__holds_item_is_dict:
                        if 'hold' not in data__holds_item:
                            raise JsonSchemaValueException
                        data__holds_item_keys = set(data__holds_item.keys())
                        if "hold" in data__holds_item_keys:
                            data__holds_item_keys.remove("hold")
                            data__holds_item__hold = data__holds_item["hold"]
                            if not (isinstance(data__holds_item__hold, str) and data__holds_item__hold == 'batch' or isinstance(data__holds_item__hold, str) and data__holds_item__hold == 'total-water' or isinstance(data__holds_item__hold, str) and data__holds_item__hold == 'total-sugar' or isinstance(data__holds_item__hold, str) and data__holds_item__hold == 'total-fat'):
                                raise JsonSchemaValueException
                        if "gives-way" in data__holds_item_keys:
                            data__holds_item_keys.remove("gives-way")
                            data__holds_item__givesway = data__holds_item["gives-way"]
                            if not (isinstance(data__holds_item__givesway, str) and 1 <= len(data__holds_item__givesway) <= 200):
                                raise JsonSchemaValueException
                        if data__holds_item_keys:
                            raise JsonSchemaValueException
        if "goals" in data:
            data__goals = data["goals"]
            if not isinstance(data__goals, (list, tuple)):
                raise JsonSchemaValueException
            data__goals_is_list = isinstance(data__goals, (list, tuple))
            if data__goals_is_list:
                data__goals_len = len(data__goals)
                if data__goals_len < 1:
                    raise JsonSchemaValueException
                if data__goals_len > 20:
                    raise JsonSchemaValueException
                for data__goals_x, data__goals_item in enumerate(data__goals):
                    if not isinstance(data__goals_item, (dict)):
                        raise JsonSchemaValueException
                    data__goals_item_is_dict = isinstance(data__goals_item, dict)
                    if data__goals_item_is_dict:
                        data__goals_item__missing_keys = {'attribute', 'aim'} - data__goals_item.keys()
                        if data__goals_item__missing_keys:
                            raise JsonSchemaValueException
                        data__goals_item_keys = set(data__goals_item.keys())
                        if "attribute" in data__goals_item_keys:
                            data__goals_item_keys.remove("attribute")
                            data__goals_item__attribute = data__goals_item["attribute"]
                            if not isinstance(data__goals_item__attribute, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__goals_item__attribute, str):
                                if not re.search('^[a-z][a-z -]{0,39}\\Z', data__goals_item__attribute):
                                    raise JsonSchemaValueException
                        if "aim" in data__goals_item_keys:
                            data__goals_item_keys.remove("aim")
                            data__goals_item__aim = data__goals_item["aim"]
                            if not (isinstance(data__goals_item__aim, str) and data__goals_item__aim == 'most' or isinstance(data__goals_item__aim, str) and data__goals_item__aim == 'least' or isinstance(data__goals_item__aim, str) and data__goals_item__aim == 'target' or isinstance(data__goals_item__aim, str) and data__goals_item__aim == 'within'):
                                raise JsonSchemaValueException
                        if "at" in data__goals_item_keys:
                            data__goals_item_keys.remove("at")
                            data__goals_item__at = data__goals_item["at"]
                            if not isinstance(data__goals_item__at, (int, float)) or isinstance(data__goals_item__at, bool):
                                raise JsonSchemaValueException
                        if "low" in data__goals_item_keys:
                            data__goals_item_keys.remove("low")
                            data__goals_item__low = data__goals_item["low"]
                            if not isinstance(data__goals_item__low, (int, float)) or isinstance(data__goals_item__low, bool):
                                raise JsonSchemaValueException
                        if "high" in data__goals_item_keys:
                            data__goals_item_keys.remove("high")
                            data__goals_item__high = data__goals_item["high"]
                            if not isinstance(data__goals_item__high, (int, float)) or isinstance(data__goals_item__high, bool):
                                raise JsonSchemaValueException
                        if "weight" in data__goals_item_keys:
                            data__goals_item_keys.remove("weight")
                            data__goals_item__weight = data__goals_item["weight"]
                            if not isinstance(data__goals_item__weight, (int, float)) or isinstance(data__goals_item__weight, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__goals_item__weight, (int, float)) and not isinstance(data__goals_item__weight, bool):
                                if data__goals_item__weight > 100:
                                    raise JsonSchemaValueException
                                if data__goals_item__weight <= 0:
                                    raise JsonSchemaValueException
                        if data__goals_item_keys:
                            raise JsonSchemaValueException
        if "tasters" in data:
            data__tasters = data["tasters"]
            if not isinstance(data__tasters, (int)) and not (isinstance(data__tasters, float) and data__tasters.is_integer()) or isinstance(data__tasters, bool):
                raise JsonSchemaValueException
            if isinstance(data__tasters, (int, float)) and not isinstance(data__tasters, bool):
                if data__tasters < 1:
                    raise JsonSchemaValueException
                if data__tasters > 500:
                    raise JsonSchemaValueException
        if "tastings" in data:
            data__tastings = data["tastings"]
            if not isinstance(data__tastings, (list, tuple)):
                raise JsonSchemaValueException
            data__tastings_is_list = isinstance(data__tastings, (list, tuple))
            if data__tastings_is_list:
                data__tastings_len = len(data__tastings)
                if data__tastings_len < 1:
                    raise JsonSchemaValueException
                if data__tastings_len > 200:
                    raise JsonSchemaValueException
                for data__tastings_x, data__tastings_item in enumerate(data__tastings):
                    if not isinstance(data__tastings_item, (dict)):
                        raise JsonSchemaValueException
                    data__tastings_item_is_dict = isinstance(data__tastings_item, dict)
                    if data__tastings_item_is_dict:
                        data__tastings_item__missing_keys = {'bakes', 'seed'} - data__tastings_item.keys()
                        if data__tastings_item__missing_keys:
                            raise JsonSchemaValueException
                        data__tastings_item_keys = set(data__tastings_item.keys())
                        if "bakes" in data__tastings_item_keys:
                            data__tastings_item_keys.remove("bakes")
                            data__tastings_item__bakes = data__tastings_item["bakes"]
                            if not isinstance(data__tastings_item__bakes, (list, tuple)):
                                raise JsonSchemaValueException
                            data__tastings_item__bakes_is_list = isinstance(data__tastings_item__bakes, (list, tuple))
                            if data__tastings_item__bakes_is_list:
                                data__tastings_item__bakes_len = len(data__tastings_item__bakes)
                                if data__tastings_item__bakes_len < 2:
                                    raise JsonSchemaValueException
                                if data__tastings_item__bakes_len > 12:
                                    raise JsonSchemaValueException
                                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                                if data__tastings_item__bakes_len > len(set(fn(data__tastings_item__bakes_x) for data__tastings_item__bakes_x in data__tastings_item__bakes)):
                                    raise JsonSchemaValueException
                                for data__tastings_item__bakes_x, data__tastings_item__bakes_item in enumerate(data__tastings_item__bakes):
                                    if not isinstance(data__tastings_item__bakes_item, (str)):
                                        raise JsonSchemaValueException
                                    if isinstance(data__tastings_item__bakes_item, str):
                                        if not re.search('^[a-z]{1,2}\\Z', data__tastings_item__bakes_item):
                                            raise JsonSchemaValueException
                        if "seed" in data__tastings_item_keys:
                            data__tastings_item_keys.remove("seed")
                            data__tastings_item__seed = data__tastings_item["seed"]
                            if not isinstance(data__tastings_item__seed, (int)) and not (isinstance(data__tastings_item__seed, float) and data__tastings_item__seed.is_integer()) or isinstance(data__tastings_item__seed, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__tastings_item__seed, (int, float)) and not isinstance(data__tastings_item__seed, bool):
                                if data__tastings_item__seed < 0:
                                    raise JsonSchemaValueException
                                if data__tastings_item__seed > 999999999:
                                    raise JsonSchemaValueException
                        if data__tastings_item_keys:
                            raise JsonSchemaValueException
        if "bakes" in data:
            data__bakes = data["bakes"]
            if not isinstance(data__bakes, (list, tuple)):
                raise JsonSchemaValueException
            data__bakes_is_list = isinstance(data__bakes, (list, tuple))
            if data__bakes_is_list:
                data__bakes_len = len(data__bakes)
                if data__bakes_len < 1:
                    raise JsonSchemaValueException
                if data__bakes_len > 200:
                    raise JsonSchemaValueException
                for data__bakes_x, data__bakes_item in enumerate(data__bakes):
                    if not isinstance(data__bakes_item, (dict)):
                        raise JsonSchemaValueException
                    data__bakes_item_is_dict = isinstance(data__bakes_item, dict)
                    if data__bakes_item_is_dict:
                        data__bakes_item__missing_keys = {'bake', 'code', 'formula', 'of', 'levels', 'day', 'oven', 'place'} - data__bakes_item.keys()
                        if data__bakes_item__missing_keys:
                            raise JsonSchemaValueException
                        data__bakes_item_keys = set(data__bakes_item.keys())
                        if "bake" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("bake")
                            data__bakes_item__bake = data__bakes_item["bake"]
                            if not isinstance(data__bakes_item__bake, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__bake, str):
                                if not re.search('^[a-z]{1,2}\\Z', data__bakes_item__bake):
                                    raise JsonSchemaValueException
                        if "code" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("code")
                            data__bakes_item__code = data__bakes_item["code"]
                            if not isinstance(data__bakes_item__code, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__code, str):
                                if not re.search('^[0-9]{3}\\Z', data__bakes_item__code):
                                    raise JsonSchemaValueException
                        if "formula" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("formula")
                            data__bakes_item__formula = data__bakes_item["formula"]
                            if not isinstance(data__bakes_item__formula, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__formula, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__bakes_item__formula):
                                    raise JsonSchemaValueException
                        if "of" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("of")
                            data__bakes_item__of = data__bakes_item["of"]
                            if not isinstance(data__bakes_item__of, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__of, str):
                                if not re.search('^[0-9a-f]{12}\\Z', data__bakes_item__of):
                                    raise JsonSchemaValueException
                        if "levels" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("levels")
                            data__bakes_item__levels = data__bakes_item["levels"]
                            if not isinstance(data__bakes_item__levels, (dict)):
                                raise JsonSchemaValueException
                            data__bakes_item__levels_is_dict = isinstance(data__bakes_item__levels, dict)
                            if data__bakes_item__levels_is_dict:
                                data__bakes_item__levels_len = len(data__bakes_item__levels)
                                if data__bakes_item__levels_len < 1:
                                    raise JsonSchemaValueException
                                if data__bakes_item__levels_len > 5:
                                    raise JsonSchemaValueException
                                data__bakes_item__levels_keys = set(data__bakes_item__levels.keys())
                                for data__bakes_item__levels_key in data__bakes_item__levels_keys:
                                    if data__bakes_item__levels_key not in []:
                                        data__bakes_item__levels_value = data__bakes_item__levels.get(data__bakes_item__levels_key)
                                        if not (isinstance(data__bakes_item__levels_value, str) and 1 <= len(data__bakes_item__levels_value) <= 40):
                                            raise JsonSchemaValueException
                        if "day" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("day")
                            data__bakes_item__day = data__bakes_item["day"]
                            if not isinstance(data__bakes_item__day, (int)) and not (isinstance(data__bakes_item__day, float) and data__bakes_item__day.is_integer()) or isinstance(data__bakes_item__day, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__day, (int, float)) and not isinstance(data__bakes_item__day, bool):
                                if data__bakes_item__day < 1:
                                    raise JsonSchemaValueException
                                if data__bakes_item__day > 100:
                                    raise JsonSchemaValueException
                        if "oven" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("oven")
                            data__bakes_item__oven = data__bakes_item["oven"]
                            if not isinstance(data__bakes_item__oven, (int)) and not (isinstance(data__bakes_item__oven, float) and data__bakes_item__oven.is_integer()) or isinstance(data__bakes_item__oven, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__oven, (int, float)) and not isinstance(data__bakes_item__oven, bool):
                                if data__bakes_item__oven < 1:
                                    raise JsonSchemaValueException
                                if data__bakes_item__oven > 20:
                                    raise JsonSchemaValueException
                        if "place" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("place")
                            data__bakes_item__place = data__bakes_item["place"]
                            if not isinstance(data__bakes_item__place, (int)) and not (isinstance(data__bakes_item__place, float) and data__bakes_item__place.is_integer()) or isinstance(data__bakes_item__place, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__bakes_item__place, (int, float)) and not isinstance(data__bakes_item__place, bool):
                                if data__bakes_item__place < 1:
                                    raise JsonSchemaValueException
                                if data__bakes_item__place > 200:
                                    raise JsonSchemaValueException
                        if "centre" in data__bakes_item_keys:
                            data__bakes_item_keys.remove("centre")
                            data__bakes_item__centre = data__bakes_item["centre"]
                            if not isinstance(data__bakes_item__centre, (bool)):
                                raise JsonSchemaValueException
                        if data__bakes_item_keys:
                            raise JsonSchemaValueException
        if "notes" in data:
            data__notes = data["notes"]
            if not (isinstance(data__notes, str) and 0 <= len(data__notes) <= 10000):
                raise JsonSchemaValueException
        if "decided" in data:
            data__decided = data["decided"]
            if not (isinstance(data__decided, str) and 1 <= len(data__decided) <= 1000):
                raise JsonSchemaValueException
        if "led-to" in data:
            data__ledto = data["led-to"]
            if not isinstance(data__ledto, (str)):
                raise JsonSchemaValueException
            if isinstance(data__ledto, str):
                if not re.search('^[0-9a-f]{12}\\Z', data__ledto):
                    raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"trial", "date", "question", "formula", "of", "design", "factors", "holds", "goals", "tasters", "tastings", "bakes", "notes", "decided", "led-to"}:
                raise JsonSchemaValueException
    return data

validate = validate_trial_schema_json
