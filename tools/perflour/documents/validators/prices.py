# Written by tools/maintain/write_validators.py; do not edit.
import re
from perflour.documents.validators import JsonSchemaValueException, JsonSchemaValuesException


NoneType = type(None)

def validate_prices_schema_json(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'currency', 'date', 'prices'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "currency" in data:
            data__currency = data["currency"]
            if not isinstance(data__currency, (str)):
                raise JsonSchemaValueException
            if isinstance(data__currency, str):
                if not re.search('^[A-Z]{3}\\Z', data__currency):
                    raise JsonSchemaValueException
        if "date" in data:
            data__date = data["date"]
            if not isinstance(data__date, (str)):
                raise JsonSchemaValueException
            if isinstance(data__date, str):
                if not re.search('^([0-9]{4}-((0[13578]|1[02])-(0[1-9]|[12][0-9]|3[01])|(0[469]|11)-(0[1-9]|[12][0-9]|30)|02-(0[1-9]|1[0-9]|2[0-8]))|([0-9]{2}(0[48]|[2468][048]|[13579][26])|([02468][048]|[13579][26])00)-02-29)\\Z', data__date):
                    raise JsonSchemaValueException
        if "note" in data:
            data__note = data["note"]
            if not (isinstance(data__note, str) and 1 <= len(data__note) <= 1000):
                raise JsonSchemaValueException
        if "prices" in data:
            data__prices = data["prices"]
            if not isinstance(data__prices, (list, tuple)):
                raise JsonSchemaValueException
            data__prices_is_list = isinstance(data__prices, (list, tuple))
            if data__prices_is_list:
                data__prices_len = len(data__prices)
                if data__prices_len < 1:
                    raise JsonSchemaValueException
                if data__prices_len > 5000:
                    raise JsonSchemaValueException
                for data__prices_x, data__prices_item in enumerate(data__prices):
                    validate_prices_schema_json___defs_price(data__prices_item)
        for data_key in data:
            if data_key not in {"currency", "date", "note", "prices"}:
                raise JsonSchemaValueException
    return data

def validate_prices_schema_json___defs_price(data):
    if not isinstance(data, (dict)):
        raise JsonSchemaValueException
    data_is_dict = isinstance(data, dict)
    if data_is_dict:
        data__missing_keys = {'item', 'packs'} - data.keys()
        if data__missing_keys:
            raise JsonSchemaValueException
        if "item" in data:
            data__item = data["item"]
            if not (isinstance(data__item, str) and 1 <= len(data__item) <= 200):
                raise JsonSchemaValueException
        if "packs" in data:
            data__packs = data["packs"]
            if not isinstance(data__packs, (list, tuple)):
                raise JsonSchemaValueException
            data__packs_is_list = isinstance(data__packs, (list, tuple))
            if data__packs_is_list:
                data__packs_len = len(data__packs)
                if data__packs_len < 1:
                    raise JsonSchemaValueException
                if data__packs_len > 20:
                    raise JsonSchemaValueException
                for data__packs_x, data__packs_item in enumerate(data__packs):
                    if not isinstance(data__packs_item, (str)):
                        raise JsonSchemaValueException
                    if isinstance(data__packs_item, str):
                        data__packs_item_len = len(data__packs_item)
                        if data__packs_item_len > 100:
                            raise JsonSchemaValueException
                        if not re.search('^[0-9]{1,9}(\\.[0-9]{1,4})? for [^ ].*\\Z', data__packs_item):
                            raise JsonSchemaValueException
        if "usable" in data:
            data__usable = data["usable"]
            if not isinstance(data__usable, (str)):
                raise JsonSchemaValueException
            if isinstance(data__usable, str):
                if not re.search('^[0-9]{1,3}(\\.[0-9]{1,2})? ?%\\Z', data__usable):
                    raise JsonSchemaValueException
        if "source" in data:
            data__source = data["source"]
            if not (isinstance(data__source, str) and 1 <= len(data__source) <= 300):
                raise JsonSchemaValueException
        if "note" in data:
            data__note = data["note"]
            if not (isinstance(data__note, str) and 1 <= len(data__note) <= 1000):
                raise JsonSchemaValueException
        for data_key in data:
            if data_key not in {"item", "packs", "usable", "source", "note"}:
                raise JsonSchemaValueException
    return data

validate = validate_prices_schema_json
