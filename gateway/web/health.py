"""Health, for whoever watches the machine: no sign-in, nothing about people."""

from flask import Blueprint, Response, jsonify

from gateway import __version__
from gateway.advisory.errors import StoreDown
from gateway.web.desk import the_desk

routes = Blueprint("health", __name__)


@routes.get("/health")
def show() -> tuple[Response, int]:
    """200 while the store answers, else 503."""
    try:
        found = {"version": __version__, **the_desk().health()}
    except StoreDown:
        found = {"version": __version__, "store": "down"}
    return jsonify(found), 200 if found.get("store") == "ok" else 503
