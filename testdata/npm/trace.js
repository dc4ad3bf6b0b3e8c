// Traces the picture that is given on standard input with another tracer, in its
// usual way, and answers with one JSON object {"svg", "ms"}; reading and writing the
// answer do not count.
'use strict';
const { vectorizeSync } = require('@neplex/vectorizer-linux-x64-gnu');
const fs = require('node:fs');

const picture = fs.readFileSync(0);
const began = performance.now();
const svg = vectorizeSync(picture, {
  colorMode: 0, hierarchical: 0, mode: 2, filterSpeckle: 4, colorPrecision: 6, layerDifference: 16,
  cornerThreshold: 60, lengthThreshold: 4, maxIterations: 10, spliceThreshold: 45, pathPrecision: 3,
});
fs.writeSync(1, JSON.stringify({ svg, ms: performance.now() - began }));
