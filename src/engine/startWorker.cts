/**
 * Where a worker thread begins: loads the worker and hands it the tasks.
 * CommonJS, because the pool loads what it is given with `require`, and a thread that is stopped while it requires an
 * ES module takes the whole process down (an assertion of Node 20). Stopped while it imports one, it just ends.
 */
const loaded = import('./worker.js')
// Told by the first task; unheard until then, it would end the process without a word.
loaded.catch(() => {})

export = async (message: import('./tasks.js', { with: { 'resolution-mode': 'import' }}).TaskMessage) =>
  (await loaded).default(message)
