"""Contrast of the words on a page, measured in the browser that shows it."""

from __future__ import annotations

CONTRAST = """
(() => {
  const light = (rgb) => {
    const [r, g, b] = rgb.map((v) => v / 255).map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const numbers = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const ground = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = numbers(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] > 0) { return colour.slice(0, 3); }
    }
    return [255, 255, 255];
  };
  const poor = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || element.closest("svg, .unseen, style")) { continue; }
    const [one, other] = [light(numbers(getComputedStyle(element).color).slice(0, 3)), light(ground(element))];
    const ratio = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
    if (ratio < 4.5) { poor.push(`${ratio.toFixed(1)} ${walker.currentNode.data.trim().slice(0, 40)}`); }
  }
  return [...new Set(poor)];
})()
"""
"""The words on the page whose contrast is below 4.5 to 1 (WCAG 2.2, 1.4.3), with it; those in drawings aside."""
