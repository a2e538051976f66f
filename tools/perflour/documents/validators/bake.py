# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_bake_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'date', 'formula', 'of', 'baker', 'verdict'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "date" in data:
            data__date = data["date"]
            if not isinstance(data__date, (str)):
                raise JsonSchemaValueException
            if isinstance(data__date, str):
                if not re.search('^([0-9]{4}-((0[13578]|1[02])-(0[1-9]|[12][0-9]|3[01])|(0[469]|11)-(0[1-9]|[12][0-9]|30)|02-(0[1-9]|1[0-9]|2[0-8]))|([0-9]{2}(0[48]|[2468][048]|[13579][26])|([02468][048]|[13579][26])00)-02-29)\\Z', data__date):
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
        if "baker" in data:
            data__baker = data["baker"]
            if not (isinstance(data__baker, str) and 1 <= len(data__baker) <= 80):
                raise JsonSchemaValueException
        if "batch" in data:
            data__batch = data["batch"]
            if not isinstance(data__batch, (int, float)) or isinstance(data__batch, bool):
                raise JsonSchemaValueException
            if isinstance(data__batch, (int, float)) and not isinstance(data__batch, bool):
                if data__batch > 1000:
                    raise JsonSchemaValueException
                if data__batch <= 0:
                    raise JsonSchemaValueException
        if "conditions" in data:
            data__conditions = data["conditions"]
            if not isinstance(data__conditions, (dict)):
                raise JsonSchemaValueException
            data__conditions_is_dict = isinstance(data__conditions, dict)
            if data__conditions_is_dict:
                data__conditions_keys = set(data__conditions.keys())
                if "flour-lot" in data__conditions_keys:
                    data__conditions_keys.remove("flour-lot")
                    data__conditions__flourlot = data__conditions["flour-lot"]
                    if not (isinstance(data__conditions__flourlot, str) and 1 <= len(data__conditions__flourlot) <= 200):
                        raise JsonSchemaValueException
                if "room" in data__conditions_keys:
                    data__conditions_keys.remove("room")
                    data__conditions__room = data__conditions["room"]
                    if not (isinstance(data__conditions__room, str) and 1 <= len(data__conditions__room) <= 80):
                        raise JsonSchemaValueException
                if "oven" in data__conditions_keys:
                    data__conditions_keys.remove("oven")
                    data__conditions__oven = data__conditions["oven"]
                    if not (isinstance(data__conditions__oven, str) and 1 <= len(data__conditions__oven) <= 200):
                        raise JsonSchemaValueException
                if "altitude" in data__conditions_keys:
                    data__conditions_keys.remove("altitude")
                    data__conditions__altitude = data__conditions["altitude"]
                    if not (isinstance(data__conditions__altitude, str) and 1 <= len(data__conditions__altitude) <= 80):
                        raise JsonSchemaValueException
                if data__conditions_keys:
                    raise JsonSchemaValueException
        if "measured" in data:
            data__measured = data["measured"]
            if not isinstance(data__measured, (dict)):
                raise JsonSchemaValueException
            data__measured_is_dict = isinstance(data__measured, dict)
            if data__measured_is_dict:
                data__measured_keys = set(data__measured.keys())
                if "dough-temperature" in data__measured_keys:
                    data__measured_keys.remove("dough-temperature")
                    data__measured__doughtemperature = data__measured["dough-temperature"]
                    if not (isinstance(data__measured__doughtemperature, str) and 0 <= len(data__measured__doughtemperature) <= 80):
                        raise JsonSchemaValueException
                if "batter-temperature" in data__measured_keys:
                    data__measured_keys.remove("batter-temperature")
                    data__measured__battertemperature = data__measured["batter-temperature"]
                    if not (isinstance(data__measured__battertemperature, str) and 0 <= len(data__measured__battertemperature) <= 80):
                        raise JsonSchemaValueException
                if "mass-before" in data__measured_keys:
                    data__measured_keys.remove("mass-before")
                    data__measured__massbefore = data__measured["mass-before"]
                    if not (isinstance(data__measured__massbefore, str) and 0 <= len(data__measured__massbefore) <= 80):
                        raise JsonSchemaValueException
                if "mass-after" in data__measured_keys:
                    data__measured_keys.remove("mass-after")
                    data__measured__massafter = data__measured["mass-after"]
                    if not (isinstance(data__measured__massafter, str) and 0 <= len(data__measured__massafter) <= 80):
                        raise JsonSchemaValueException
                if "core" in data__measured_keys:
                    data__measured_keys.remove("core")
                    data__measured__core = data__measured["core"]
                    if not (isinstance(data__measured__core, str) and 0 <= len(data__measured__core) <= 80):
                        raise JsonSchemaValueException
                if "bake-time" in data__measured_keys:
                    data__measured_keys.remove("bake-time")
                    data__measured__baketime = data__measured["bake-time"]
                    if not (isinstance(data__measured__baketime, str) and 0 <= len(data__measured__baketime) <= 80):
                        raise JsonSchemaValueException
                if "proof-time" in data__measured_keys:
                    data__measured_keys.remove("proof-time")
                    data__measured__prooftime = data__measured["proof-time"]
                    if not (isinstance(data__measured__prooftime, str) and 0 <= len(data__measured__prooftime) <= 80):
                        raise JsonSchemaValueException
                if "height" in data__measured_keys:
                    data__measured_keys.remove("height")
                    data__measured__height = data__measured["height"]
                    if not (isinstance(data__measured__height, str) and 0 <= len(data__measured__height) <= 80):
                        raise JsonSchemaValueException
                if "spread" in data__measured_keys:
                    data__measured_keys.remove("spread")
                    data__measured__spread = data__measured["spread"]
                    if not (isinstance(data__measured__spread, str) and 0 <= len(data__measured__spread) <= 80):
                        raise JsonSchemaValueException
                if data__measured_keys:
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
                        if 'taster' not in data__scores_item:
                            raise JsonSchemaValueException
                        data__scores_item_keys = set(data__scores_item.keys())
                        if "taster" in data__scores_item_keys:
                            data__scores_item_keys.remove("taster")
                            data__scores_item__taster = data__scores_item["taster"]
                            if not (isinstance(data__scores_item__taster, str) and 1 <= len(data__scores_item__taster) <= 80):
                                raise JsonSchemaValueException
                        for data__scores_item_key in data__scores_item_keys:
                            if data__scores_item_key not in ['taster']:
                                data__scores_item_value = data__scores_item.get(data__scores_item_key)
                                if not isinstance(data__scores_item_value, (int, float)) or isinstance(data__scores_item_value, bool):
                                    raise JsonSchemaValueException
                                if isinstance(data__scores_item_value, (int, float)) and not isinstance(data__scores_item_value, bool):
                                    if data__scores_item_value < 1:
                                        raise JsonSchemaValueException
                                    if data__scores_item_value > 9:
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
        if "verdict" in data:
            data__verdict = data["verdict"]
            if not (isinstance(data__verdict, str) and data__verdict == 'keep' or isinstance(data__verdict, str) and data__verdict == 'change' or isinstance(data__verdict, str) and data__verdict == 'reject'):
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
        if "next" in data:
            data__next = data["next"]
            if not isinstance(data__next, (dict)):
                raise JsonSchemaValueException
            data__next_is_dict = isinstance(data__next, dict)
            if data__next_is_dict:
                data__next__missing_keys = {'try', 'because'} - data__next.keys()
                if data__next__missing_keys:
                    raise JsonSchemaValueException
                data__next_keys = set(data__next.keys())
                if "try" in data__next_keys:
                    data__next_keys.remove("try")
                    data__next__try = data__next["try"]
                    if not (isinstance(data__next__try, str) and 1 <= len(data__next__try) <= 500):
                        raise JsonSchemaValueException
                if "because" in data__next_keys:
                    data__next_keys.remove("because")
                    data__next__because = data__next["because"]
                    if not (isinstance(data__next__because, str) and 1 <= len(data__next__because) <= 1000):
                        raise JsonSchemaValueException
                if data__next_keys:
                    raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"date", "formula", "of", "baker", "batch", "conditions", "measured", "scores", "notes", "photos", "verdict", "amended", "next"}:
                raise JsonSchemaValueException
    return data

validate = validate_bake_schema_json
