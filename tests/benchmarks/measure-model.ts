/*
 * A program of its own for the benchmark: reads a model file, measures it, prints what it took as JSON. A fresh process, like the
 * other one that it is compared with.
 */
import { readModel } from '@bathkeeper/dashboard/model-files';
import { withFileSource } from '@bathkeeper/dashboard/file-source';
import { measurePart } from '@bathkeeper/shared-core/part';

const megabytesBefore = process.memoryUsage().rss / 1024 / 1024;
const began = performance.now();
const { areaMm2, volumeMm3, isClosed } = measurePart(
  withFileSource(process.argv[2] ?? '', (source) => readModel(source)).mesh,
);
const milliseconds = performance.now() - began;
const megabytes = process.resourceUsage().maxRSS / 1024 - megabytesBefore;
console.log(JSON.stringify({ areaMm2, volumeMm3, isClosed, milliseconds, megabytes }));
