namespace Caseload.Web.Platform;

/// <summary>Asks a running instance whether it is ready.</summary>
public static class HealthCommand
{
    /// <summary>0 when it answers that it is ready.</summary>
    public static async Task<int> RunAsync(HostStart start)
    {
        using var client = new HttpClient { Timeout = TimeSpan.FromSeconds(5) };
        try
        {
            var address = new Uri(
                new Uri((start.Urls ?? "http://127.0.0.1:5080").Replace("+", "127.0.0.1", StringComparison.Ordinal)),
                "health/ready"
            );
            using var answer = await client.GetAsync(address);
            return answer.IsSuccessStatusCode ? 0 : 1;
        }
        catch (Exception exception) when (exception is HttpRequestException or TaskCanceledException)
        {
            Console.Error.WriteLine("No answer: " + exception.Message);
            return 1;
        }
    }
}
