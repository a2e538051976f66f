# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_session_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'date', 'ask', 'seed', 'samples', 'order'} - data.keys()
        if data__missing_keys:
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
        if "ask" in data:
            data__ask = data["ask"]
            if not (isinstance(data__ask, str) and data__ask == 'scores' or isinstance(data__ask, str) and data__ask == 'preference' or isinstance(data__ask, str) and data__ask == 'difference' or isinstance(data__ask, str) and data__ask == 'triangle' or isinstance(data__ask, str) and data__ask == 'ranking' or isinstance(data__ask, str) and data__ask == 'duo-trio'):
                raise JsonSchemaValueException
        if "attributes" in data:
            data__attributes = data["attributes"]
            if not isinstance(data__attributes, (list, tuple)):
                raise JsonSchemaValueException
            data__attributes_is_list = isinstance(data__attributes, (list, tuple))
            if data__attributes_is_list:
                data__attributes_len = len(data__attributes)
                if data__attributes_len < 1:
                    raise JsonSchemaValueException
                if data__attributes_len > 12:
                    raise JsonSchemaValueException
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                if data__attributes_len > len(set(fn(data__attributes_x) for data__attributes_x in data__attributes)):
                    raise JsonSchemaValueException
                for data__attributes_x, data__attributes_item in enumerate(data__attributes):
                    if not isinstance(data__attributes_item, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__attributes_item, str):
                        if not re.search('^[a-z][a-z -]{0,39}\\Z', data__attributes_item):
                            raise JsonSchemaValueException
        if "expect" in data:
            data__expect = data["expect"]
            if not isinstance(data__expect, (str)):
                raise JsonSchemaValueException
            if isinstance(data__expect, str):
                if not re.search('^[0-9]{3}\\Z', data__expect):
                    raise JsonSchemaValueException
        if "expect-order" in data:
            data__expectorder = data["expect-order"]
            if not isinstance(data__expectorder, (list, tuple)):
                raise JsonSchemaValueException
            data__expectorder_is_list = isinstance(data__expectorder, (list, tuple))
            if data__expectorder_is_list:
                data__expectorder_len = len(data__expectorder)
                if data__expectorder_len < 3:
                    raise JsonSchemaValueException
                if data__expectorder_len > 12:
                    raise JsonSchemaValueException
                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                if data__expectorder_len > len(set(fn(data__expectorder_x) for data__expectorder_x in data__expectorder)):
                    raise JsonSchemaValueException
                for data__expectorder_x, data__expectorder_item in enumerate(data__expectorder):
                    if not isinstance(data__expectorder_item, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__expectorder_item, str):
                        if not re.search('^[0-9]{3}\\Z', data__expectorder_item):
                            raise JsonSchemaValueException
        if "seed" in data:
            data__seed = data["seed"]
            if not isinstance(data__seed, (int)) and not (isinstance(data__seed, float) and data__seed.is_integer()) or isinstance(data__seed, bool):
                raise JsonSchemaValueException
            if isinstance(data__seed, (int, float)) and not isinstance(data__seed, bool):
                if data__seed < 0:
                    raise JsonSchemaValueException
                if data__seed > 999999999:
                    raise JsonSchemaValueException
        if "samples" in data:
            data__samples = data["samples"]
            if not isinstance(data__samples, (list, tuple)):
                raise JsonSchemaValueException
            data__samples_is_list = isinstance(data__samples, (list, tuple))
            if data__samples_is_list:
                data__samples_len = len(data__samples)
                if data__samples_len < 2:
                    raise JsonSchemaValueException
                if data__samples_len > 12:
                    raise JsonSchemaValueException
                for data__samples_x, data__samples_item in enumerate(data__samples):
                    if not isinstance(data__samples_item, (dict)):
                        raise JsonSchemaValueException
                    data__samples_item_is_dict = isinstance(data__samples_item, dict)
                    if data__samples_item_is_dict:
                        data__samples_item__missing_keys = {'formula', 'of', 'codes'} - data__samples_item.keys()
                        if data__samples_item__missing_keys:
                            raise JsonSchemaValueException
                        data__samples_item_keys = set(data__samples_item.keys())
                        if "formula" in data__samples_item_keys:
                            data__samples_item_keys.remove("formula")
                            data__samples_item__formula = data__samples_item["formula"]
                            if not isinstance(data__samples_item__formula, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__samples_item__formula, str):
                                if not re.search('^[a-z0-9]+(-[a-z0-9]+)*\\Z', data__samples_item__formula):
                                    raise JsonSchemaValueException
                        if "of" in data__samples_item_keys:
                            data__samples_item_keys.remove("of")
                            data__samples_item__of = data__samples_item["of"]
                            if not isinstance(data__samples_item__of, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__samples_item__of, str):
                                if not re.search('^[0-9a-f]{12}\\Z', data__samples_item__of):
                                    raise JsonSchemaValueException
                        if "codes" in data__samples_item_keys:
                            data__samples_item_keys.remove("codes")
                            data__samples_item__codes = data__samples_item["codes"]
                            if not isinstance(data__samples_item__codes, (list, tuple)):
                                raise JsonSchemaValueException
                            data__samples_item__codes_is_list = isinstance(data__samples_item__codes, (list, tuple))
                            if data__samples_item__codes_is_list:
                                data__samples_item__codes_len = len(data__samples_item__codes)
                                if data__samples_item__codes_len < 1:
                                    raise JsonSchemaValueException
                                if data__samples_item__codes_len > 2:
                                    raise JsonSchemaValueException
                                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                                if data__samples_item__codes_len > len(set(fn(data__samples_item__codes_x) for data__samples_item__codes_x in data__samples_item__codes)):
                                    raise JsonSchemaValueException
                                for data__samples_item__codes_x, data__samples_item__codes_item in enumerate(data__samples_item__codes):
                                    if not isinstance(data__samples_item__codes_item, (str)):
                                        raise JsonSchemaValueException
                                    if isinstance(data__samples_item__codes_item, str):
                                        if not re.search('^[0-9]{3}\\Z', data__samples_item__codes_item):
                                            raise JsonSchemaValueException
                        if "bake" in data__samples_item_keys:
                            data__samples_item_keys.remove("bake")
                            data__samples_item__bake = data__samples_item["bake"]
                            if not (isinstance(data__samples_item__bake, str) and 1 <= len(data__samples_item__bake) <= 80):
                                raise JsonSchemaValueException
                        if data__samples_item_keys:
                            raise JsonSchemaValueException
        if "order" in data:
            data__order = data["order"]
            if not isinstance(data__order, (list, tuple)):
                raise JsonSchemaValueException
            data__order_is_list = isinstance(data__order, (list, tuple))
            if data__order_is_list:
                data__order_len = len(data__order)
                if data__order_len < 1:
                    raise JsonSchemaValueException
                if data__order_len > 500:
                    raise JsonSchemaValueException
                for data__order_x, data__order_item in enumerate(data__order):
                    if not isinstance(data__order_item, (dict)):
                        raise JsonSchemaValueException
                    data__order_item_is_dict = isinstance(data__order_item, dict)
                    if data__order_item_is_dict:
                        data__order_item__missing_keys = {'taster', 'serve'} - data__order_item.keys()
                        if data__order_item__missing_keys:
                            raise JsonSchemaValueException
                        data__order_item_keys = set(data__order_item.keys())
                        if "taster" in data__order_item_keys:
                            data__order_item_keys.remove("taster")
                            data__order_item__taster = data__order_item["taster"]
                            if not (isinstance(data__order_item__taster, str) and 1 <= len(data__order_item__taster) <= 80):
                                raise JsonSchemaValueException
                        if "serve" in data__order_item_keys:
                            data__order_item_keys.remove("serve")
                            data__order_item__serve = data__order_item["serve"]
                            if not isinstance(data__order_item__serve, (list, tuple)):
                                raise JsonSchemaValueException
                            data__order_item__serve_is_list = isinstance(data__order_item__serve, (list, tuple))
                            if data__order_item__serve_is_list:
                                data__order_item__serve_len = len(data__order_item__serve)
                                if data__order_item__serve_len < 2:
                                    raise JsonSchemaValueException
                                if data__order_item__serve_len > 12:
                                    raise JsonSchemaValueException
                                def fn(var): return frozenset(dict((k, fn(v)) for k, v in var.items()).items()) if hasattr(var, "items") else tuple(fn(v) for v in var) if isinstance(var, (dict, list)) else (bool, var) if isinstance(var, bool) else var
                                if data__order_item__serve_len > len(set(fn(data__order_item__serve_x) for data__order_item__serve_x in data__order_item__serve)):
                                    raise JsonSchemaValueException
                                for data__order_item__serve_x, data__order_item__serve_item in enumerate(data__order_item__serve):
                                    if not isinstance(data__order_item__serve_item, (str)):
                                        raise JsonSchemaValueException
                                    if isinstance(data__order_item__serve_item, str):
                                        if not re.search('^[0-9]{3}\\Z', data__order_item__serve_item):
                                            raise JsonSchemaValueException
                        if data__order_item_keys:
                            raise JsonSchemaValueException
        if "absent" in data:
            data__absent = data["absent"]
            if not isinstance(data__absent, (list, tuple)):
                raise JsonSchemaValueException
            data__absent_is_list = isinstance(data__absent, (list, tuple))
            if data__absent_is_list:
                data__absent_len = len(data__absent)
                for data__absent_x, data__absent_item in enumerate(data__absent):
                    if not (isinstance(data__absent_item, str) and 1 <= len(data__absent_item) <= 80):
                        raise JsonSchemaValueException
        if "scores" in data:
            data__scores = data["scores"]
            if not isinstance(data__scores, (list, tuple)):
                raise JsonSchemaValueException
            data__scores_is_list = isinstance(data__scores, (list, tuple))
            if data__scores_is_list:
                data__scores_len = len(data__scores)
                for data__scores_x, data__scores_item in enumerate(data__scores):
                    if not isinstance(data__scores_item, (dict)):
                        raise JsonSchemaValueException
                    data__scores_item_is_dict = isinstance(data__scores_item, dict)
                    if data__scores_item_is_dict:
                        data__scores_item__missing_keys = {'taster', 'code'} - data__scores_item.keys()
                        if data__scores_item__missing_keys:
                            raise JsonSchemaValueException
                        data__scores_item_keys = set(data__scores_item.keys())
                        if "taster" in data__scores_item_keys:
                            data__scores_item_keys.remove("taster")
                            data__scores_item__taster = data__scores_item["taster"]
                            if not (isinstance(data__scores_item__taster, str) and 1 <= len(data__scores_item__taster) <= 80):
                                raise JsonSchemaValueException
                        if "code" in data__scores_item_keys:
                            data__scores_item_keys.remove("code")
                            data__scores_item__code = data__scores_item["code"]
                            if not isinstance(data__scores_item__code, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__scores_item__code, str):
                                if not re.search('^[0-9]{3}\\Z', data__scores_item__code):
                                    raise JsonSchemaValueException
                        for data__scores_item_key in data__scores_item_keys:
                            if data__scores_item_key not in ['taster', 'code']:
                                data__scores_item_value = data__scores_item.get(data__scores_item_key)
                                if not isinstance(data__scores_item_value, (int, float)) or isinstance(data__scores_item_value, bool):
                                    raise JsonSchemaValueException
                                if isinstance(data__scores_item_value, (int, float)) and not isinstance(data__scores_item_value, bool):
                                    if data__scores_item_value < 1:
                                        raise JsonSchemaValueException
                                    if data__scores_item_value > 9:
                                        raise JsonSchemaValueException
        if "ranks" in data:
            data__ranks = data["ranks"]
            if not isinstance(data__ranks, (list, tuple)):
                raise JsonSchemaValueException
            data__ranks_is_list = isinstance(data__ranks, (list, tuple))
            if data__ranks_is_list:
                data__ranks_len = len(data__ranks)
                for data__ranks_x, data__ranks_item in enumerate(data__ranks):
                    if not isinstance(data__ranks_item, (dict)):
                        raise JsonSchemaValueException
                    data__ranks_item_is_dict = isinstance(data__ranks_item, dict)
                    if data__ranks_item_is_dict:
                        data__ranks_item__missing_keys = {'taster', 'code', 'rank'} - data__ranks_item.keys()
                        if data__ranks_item__missing_keys:
                            raise JsonSchemaValueException
                        data__ranks_item_keys = set(data__ranks_item.keys())
                        if "taster" in data__ranks_item_keys:
                            data__ranks_item_keys.remove("taster")
                            data__ranks_item__taster = data__ranks_item["taster"]
                            if not (isinstance(data__ranks_item__taster, str) and 1 <= len(data__ranks_item__taster) <= 80):
                                raise JsonSchemaValueException
                        if "code" in data__ranks_item_keys:
                            data__ranks_item_keys.remove("code")
                            data__ranks_item__code = data__ranks_item["code"]
                            if not isinstance(data__ranks_item__code, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__ranks_item__code, str):
                                if not re.search('^[0-9]{3}\\Z', data__ranks_item__code):
                                    raise JsonSchemaValueException
                        if "rank" in data__ranks_item_keys:
                            data__ranks_item_keys.remove("rank")
                            data__ranks_item__rank = data__ranks_item["rank"]
                            if not isinstance(data__ranks_item__rank, (int, float)) or isinstance(data__ranks_item__rank, bool):
                                raise JsonSchemaValueException
                            if isinstance(data__ranks_item__rank, (int, float)) and not isinstance(data__ranks_item__rank, bool):
                                if data__ranks_item__rank < 1:
                                    raise JsonSchemaValueException
                                if data__ranks_item__rank > 12:
                                    raise JsonSchemaValueException
                        if data__ranks_item_keys:
                            raise JsonSchemaValueException
        if "choices" in data:
            data__choices = data["choices"]
            if not isinstance(data__choices, (list, tuple)):
                raise JsonSchemaValueException
            data__choices_is_list = isinstance(data__choices, (list, tuple))
            if data__choices_is_list:
                data__choices_len = len(data__choices)
                for data__choices_x, data__choices_item in enumerate(data__choices):
                    if not isinstance(data__choices_item, (dict)):
                        raise JsonSchemaValueException
                    data__choices_item_is_dict = isinstance(data__choices_item, dict)
                    if data__choices_item_is_dict:
                        data__choices_item__missing_keys = {'taster', 'code'} - data__choices_item.keys()
                        if data__choices_item__missing_keys:
                            raise JsonSchemaValueException
                        data__choices_item_keys = set(data__choices_item.keys())
                        if "taster" in data__choices_item_keys:
                            data__choices_item_keys.remove("taster")
                            data__choices_item__taster = data__choices_item["taster"]
                            if not (isinstance(data__choices_item__taster, str) and 1 <= len(data__choices_item__taster) <= 80):
                                raise JsonSchemaValueException
                        if "code" in data__choices_item_keys:
                            data__choices_item_keys.remove("code")
                            data__choices_item__code = data__choices_item["code"]
                            if not isinstance(data__choices_item__code, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__choices_item__code, str):
                                if not re.search('^[0-9]{3}\\Z', data__choices_item__code):
                                    raise JsonSchemaValueException
                        if data__choices_item_keys:
                            raise JsonSchemaValueException
        if "notes" in data:
            data__notes = data["notes"]
            if not (isinstance(data__notes, str) and 0 <= len(data__notes) <= 10000):
                raise JsonSchemaValueException
        if "photos" in data:
            data__photos = data["photos"]
            if not isinstance(data__photos, (list, tuple)):
                raise JsonSchemaValueException
            data__photos_is_list = isinstance(data__photos, (list, tuple))
            if data__photos_is_list:
                data__photos_len = len(data__photos)
                if data__photos_len > 100:
                    raise JsonSchemaValueException
                for data__photos_x, data__photos_item in enumerate(data__photos):
                    if not isinstance(data__photos_item, (dict)):
                        raise JsonSchemaValueException
                    data__photos_item_is_dict = isinstance(data__photos_item, dict)
                    if data__photos_item_is_dict:
                        if 'file' not in data__photos_item:
                            raise JsonSchemaValueException
                        data__photos_item_keys = set(data__photos_item.keys())
                        if "file" in data__photos_item_keys:
                            data__photos_item_keys.remove("file")
                            data__photos_item__file = data__photos_item["file"]
                            if not (isinstance(data__photos_item__file, str) and 1 <= len(data__photos_item__file) <= 300):
                                raise JsonSchemaValueException
                        if "sha256" in data__photos_item_keys:
                            data__photos_item_keys.remove("sha256")
                            data__photos_item__sha256 = data__photos_item["sha256"]
                            if not isinstance(data__photos_item__sha256, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__photos_item__sha256, str):
                                if not re.search('^[0-9a-f]{64}\\Z', data__photos_item__sha256):
                                    raise JsonSchemaValueException
                        if "caption" in data__photos_item_keys:
                            data__photos_item_keys.remove("caption")
                            data__photos_item__caption = data__photos_item["caption"]
                            if not (isinstance(data__photos_item__caption, str) and 1 <= len(data__photos_item__caption) <= 200):
                                raise JsonSchemaValueException
                        if "alt" in data__photos_item_keys:
                            data__photos_item_keys.remove("alt")
                            data__photos_item__alt = data__photos_item["alt"]
                            if not (isinstance(data__photos_item__alt, str) and 1 <= len(data__photos_item__alt) <= 500):
                                raise JsonSchemaValueException
                        if "shows" in data__photos_item_keys:
                            data__photos_item_keys.remove("shows")
                            data__photos_item__shows = data__photos_item["shows"]
                            if not (isinstance(data__photos_item__shows, str) and 1 <= len(data__photos_item__shows) <= 200):
                                raise JsonSchemaValueException
                        if data__photos_item_keys:
                            raise JsonSchemaValueException
        if "amended" in data:
            data__amended = data["amended"]
            if not isinstance(data__amended, (list, tuple)):
                raise JsonSchemaValueException
            data__amended_is_list = isinstance(data__amended, (list, tuple))
            if data__amended_is_list:
                data__amended_len = len(data__amended)
                if data__amended_len > 100:
                    raise JsonSchemaValueException
                for data__amended_x, data__amended_item in enumerate(data__amended):
                    if not isinstance(data__amended_item, (dict)):
                        raise JsonSchemaValueException
                    data__amended_item_is_dict = isinstance(data__amended_item, dict)
                    if data__amended_item_is_dict:
                        data__amended_item__missing_keys = {'date', 'by', 'because'} - data__amended_item.keys()
                        if data__amended_item__missing_keys:
                            raise JsonSchemaValueException
                        data__amended_item_keys = set(data__amended_item.keys())
                        if "date" in data__amended_item_keys:
                            data__amended_item_keys.remove("date")
                            data__amended_item__date = data__amended_item["date"]
                            if not isinstance(data__amended_item__date, (str)):
                                raise JsonSchemaValueException
                            if isinstance(data__amended_item__date, str):
                                if not re.search('^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])\\Z', data__amended_item__date):
                                    raise JsonSchemaValueException
                        if "by" in data__amended_item_keys:
                            data__amended_item_keys.remove("by")
                            data__amended_item__by = data__amended_item["by"]
                            if not (isinstance(data__amended_item__by, str) and 1 <= len(data__amended_item__by) <= 80):
                                raise JsonSchemaValueException
                        if "because" in data__amended_item_keys:
                            data__amended_item_keys.remove("because")
                            data__amended_item__because = data__amended_item["because"]
                            if not (isinstance(data__amended_item__because, str) and 1 <= len(data__amended_item__because) <= 1000):
                                raise JsonSchemaValueException
                        if data__amended_item_keys:
                            raise JsonSchemaValueException
        if "decided" in data:
            data__decided = data["decided"]
            if not (isinstance(data__decided, str) and 1 <= len(data__decided) <= 1000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"date", "question", "ask", "attributes", "expect", "expect-order", "seed", "samples", "order", "absent", "scores", "ranks", "choices", "notes", "photos", "amended", "decided"}:
                raise JsonSchemaValueException
    return data

validate = validate_session_schema_json
