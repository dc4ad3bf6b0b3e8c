// Reads one JSON request a line from standard input:
//   {"svg": "...", "side": 512, "crisp": true, "fonts": ["file", ...]}
// and answers each with one JSON line {"width", "height", "error"} on standard
// output, followed by width·height·4 bytes of RGBA (premultiplied alpha).
'use strict';
const { Resvg } = require('@resvg/resvg-js');
const readline = require('node:readline');
const fs = require('node:fs');

function write(buffer) {
  let done = 0;
  while (done < buffer.length) {
    try {
      done += fs.writeSync(1, buffer, done);
    } catch (e) {
      if (e.code !== 'EAGAIN') throw e;
    }
  }
}

function render({ svg, side, crisp, fonts }) {
  const options = {
    font: { loadSystemFonts: false, fontFiles: fonts || [] },
    shapeRendering: crisp ? 1 : 2,
    logLevel: 'off',
  };
  const natural = new Resvg(svg, options);
  const mode = natural.width >= natural.height ? 'width' : 'height';
  return new Resvg(svg, { ...options, fitTo: { mode, value: side } }).render();
}

readline.createInterface({ input: process.stdin, crlfDelay: Infinity }).on('line', (line) => {
  let image;
  try {
    image = render(JSON.parse(line));
  } catch (e) {
    write(Buffer.from(JSON.stringify({ width: 0, height: 0, error: String(e.message || e) }) + '\n'));
    return;
  }
  write(Buffer.from(JSON.stringify({ width: image.width, height: image.height, error: '' }) + '\n'));
  write(image.pixels);
});
