// One WebAssembly module of SIMD loops. Each works on rows handed over in a band of memory: pointers are byte offsets,
// sizes are in pixels, nothing is allocated here. Buffers end with at least 64 spare bytes, because loops step by 16
// values and may read and write past a row's end (the next row then overwrites what spilled).
export { logRatioBand } from "./log-ratio";
export { gaussianBand } from "./gaussian";
export { boxBand } from "./box";
export { reduceRow } from "./reduce";
export { warpBand } from "./warp";
export { extremeBand } from "./extreme";
export { medianBand } from "./median";
export { differenceLine, accumulateLine } from "./combine";
export { stackBand } from "./stack";
export { fourierColumns, fourierRows } from "./fourier";
