"""The bands on the shelf."""

from __future__ import annotations

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.queries.stock_page import stock_page
from tarsus.web.access import LEAD, RECORDS, may

STOCK_FOR: Final = (LEAD, RECORDS)


@may(*STOCK_FOR)
def stock(request: HttpRequest) -> HttpResponse:
    """What is held, what to order, and what came and went."""
    return render(request, "web/stock.html", {"page": stock_page(timezone.now())})
