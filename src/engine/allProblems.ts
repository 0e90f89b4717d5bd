import { type Problem, RequestError } from '../errors.js'

/**
 * Does the same for every item and tells the mistakes of all of them at once.
 * @throws RequestError with every mistake; any other failure as it comes
 */
export async function allProblems<Item, Result>(
  items: readonly Item[],
  work: (item: Item, index: number) => Result | Promise<Result>,
): Promise<Result[]> {
  const results: Result[] = []
  const errors: RequestError[] = []
  for (const [i, item] of items.entries()) {
    try {
      results.push(await work(item, i))
    } catch (error) {
      if (!(error instanceof RequestError)) throw error
      errors.push(error)
    }
  }
  if (errors.length === 1) throw errors[0]
  const problems: Problem[] = errors.flatMap((error) => error.problems)
  if (problems.length > 0) throw new RequestError(problems, { cause: errors[0] })
  return results
}
