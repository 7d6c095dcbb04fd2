// The present view as lines and faces that any drawing program takes (SVG), and its caption.
const SPACE = "http://www.w3.org/2000/svg";
const END_OF_FILE = "<" + "/svg>"; // written apart, so that this script may stand within a page

// A pen that writes down what a canvas would be told; only what the picture's marks ask of one.
class WrittenPen {
  constructor(wide, high) {
    this.canvas = { width: wide, height: high };
    this.parts = [];
    this.dash = [];
    [this.fillStyle, this.strokeStyle, this.lineWidth, this.globalAlpha] = ["#000000", "#000000", 1, 1];
    [this.font, this.textAlign] = ["14px sans-serif", "start"];
    this.path = "";
  }

  clearRect() {}

  setLineDash(dash) {
    this.dash = dash;
  }

  beginPath() {
    this.path = "";
  }

  moveTo(x, y) {
    this.path += `M${short(x)} ${short(y)}`;
  }

  lineTo(x, y) {
    this.path += `L${short(x)} ${short(y)}`;
  }

  closePath() {
    this.path += "Z";
  }

  arc(x, y, r) {
    this.path += `M${short(x - r)} ${short(y)}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
  }

  fill() {
    this.parts.push(`<path d="${this.path}" ${paint("fill", this.fillStyle, this.globalAlpha)}/>`);
  }

  stroke() {
    const dash = this.dash.length ? ` stroke-dasharray="${this.dash.join(" ")}"` : "";
    const line = `${paint("stroke", this.strokeStyle, this.globalAlpha)} stroke-width="${this.lineWidth}"${dash}`;
    this.parts.push(`<path d="${this.path}" fill="none" ${line}/>`);
  }

  strokeRect(x, y, wide, high) {
    this.path = `M${short(x)} ${short(y)}h${wide}v${high}h${-wide}Z`;
    this.stroke();
  }

  fillText(text, x, y) {
    const size = Number.parseFloat(this.font);
    const anchor = this.textAlign === "center" ? "middle" : "start";
    const place = `x="${short(x)}" y="${short(y)}" font-family="sans-serif" font-size="${size}" text-anchor="${anchor}"`;
    this.parts.push(`<text ${place} ${paint("fill", this.fillStyle, this.globalAlpha)}>${safe(text)}</text>`);
  }

  // A face in a colour packed as pixels are.
  face(xs, ys, sides, colour) {
    const corners = Array.from({ length: sides }, (_, k) => `${short(xs[k])},${short(ys[k])}`).join(" ");
    const solid = (colour >>> 24) / 255;
    const glass = solid < 1 ? ` fill-opacity="${solid.toFixed(2)}"` : "";
    const hex = [0, 8, 16].map((shift) => ((colour >>> shift) & 255).toString(16).padStart(2, "0")).join("");
    this.parts.push(`<polygon points="${corners}" fill="#${hex}"${glass}/>`);
  }

  written(caption, line) {
    const { width, height } = this.canvas;
    const high = height + (caption ? line : 0);
    if (caption) {
      this.parts.push(`<rect y="${short(height)}" width="100%" height="${line}" fill="#ffffff"/>`);
      [this.font, this.textAlign, this.fillStyle, this.globalAlpha] = ["20px sans-serif", "center", "#111418", 1];
      this.fillText(caption, width / 2, height + 0.6 * line);
    }
    const frame = `xmlns="${SPACE}" viewBox="0 0 ${short(width)} ${short(high)}" width="${short(width)}" height="${short(high)}"`;
    return `<svg ${frame}><rect width="100%" height="100%" fill="#ffffff"/>${this.parts.join("")}${END_OF_FILE}`;
  }
}

// The picture as it is now, as the text of an SVG file.
export function written(picture, caption, line) {
  const pen = new WrittenPen(picture.wide, picture.high);
  picture.drawn_on(pen);
  return pen.written(caption, line);
}

function short(value) {
  return String(Math.round(value * 10) / 10);
}

// A colour of a canvas as an attribute: SVG's own colours have no share of their own.
function paint(what, style, alpha) {
  const parts = /^rgba\(([^)]*)\)$/.exec(style.replaceAll(" ", ""));
  if (!parts) return `${what}="${style}"${alpha < 1 ? ` ${what}-opacity="${short(10 * alpha) / 10}"` : ""}`;
  const [r, g, b, a] = parts[1].split(",");
  return `${what}="rgb(${r},${g},${b})" ${what}-opacity="${(Number(a) * alpha).toFixed(3)}"`;
}

function safe(text) {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}
